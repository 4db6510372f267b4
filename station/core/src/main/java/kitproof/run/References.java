package kitproof.run;

import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.ReferenceUnit;
import kitproof.value.AgainstUnit;

/**
 * The other units that steps of a run compare with, by the names that the plan has for them.
 *
 * <p>A step that compares with the unit which whoever starts the run names is left out where nobody
 * has named one; so is one that compares with a unit by its serial number while that unit itself is
 * on the bench for the first time.
 */
public final class References {
  /** None. */
  public static final References NONE = new References(Map.of(), List.of(), "");

  private final Map<String, ReferenceUnit> units;
  private final List<String> known;
  private final String onBench;

  private References(Map<String, ReferenceUnit> units, Collection<String> known, String onBench) {
    this.units = new TreeMap<>(units);
    this.known = List.copyOf(known);
    this.onBench = onBench;
  }

  /**
   * These.
   *
   * @param units by the plan's names for them
   * @param known serial numbers of all units that there are records of
   */
  public static References of(Map<String, ReferenceUnit> units, Collection<String> known) {
    return new References(units, known, "");
  }

  /** The same with this unit on the bench; empty if that is not known yet. */
  References beside(String unit) {
    return new References(units, known, unit);
  }

  /** The names of all other units that a plan's steps compare with. */
  public static List<String> named(Plan plan) {
    TreeSet<String> names = new TreeSet<>();
    Stream.concat(plan.steps().stream(), plan.shutDown().stream())
        .forEach(step -> names.addAll(step.outline().otherUnits()));
    return List.copyOf(names);
  }

  /** The unit of this name. */
  public Optional<ReferenceUnit> of(String name) {
    return Optional.ofNullable(units.get(name));
  }

  /** Serial numbers of all units that there are records of. */
  List<String> known() {
    return known;
  }

  /** Why a step is not done with the unit that is on the bench; empty if it is. */
  String leavesOut(PlanStep step) {
    for (String name : step.outline().otherUnits()) {
      if (!units.containsKey(name)) {
        if (name.equals(AgainstUnit.NAMED)) {
          return "no reference unit was named";
        }
        if (name.equals(onBench)) {
          return "this unit is the reference, and has no record yet that it passed";
        }
      }
    }
    return "";
  }

  /** For the record's list of digests: which documents it rests on. */
  Map<String, String> digests() {
    Map<String, String> digests = new TreeMap<>();
    units.forEach((name, unit) -> digests.put("record of unit " + unit.unit(), unit.digest()));
    return digests;
  }

  /** In words, what is compared with. */
  List<String> told() {
    return units.values().stream()
        .map(unit -> "compared with reference unit " + unit.title() + ", " + unit.digest())
        .distinct()
        .toList();
  }
}
