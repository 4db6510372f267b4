package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import kitproof.document.Parsed;
import kitproof.journal.History;
import kitproof.journal.ReferenceRecords;
import kitproof.plan.Plan;
import kitproof.procedure.ReferenceUnit;
import kitproof.run.Preflight;
import kitproof.run.References;
import kitproof.value.AgainstUnit;
import kitproof.value.Location;
import kitproof.value.Nearest;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** Which other unit a run is compared with, where its plan leaves that open. */
final class ReferenceUnitOption {
  private static final String OPTION = "--reference";

  @Option(
      names = OPTION,
      paramLabel = "SERIAL|RECORD",
      description =
          "The unit that steps with \"against: {unit: reference}\" compare with: by its last record"
              + " among those here that it passed, or by this record. Without it those steps are"
              + " left out, and the record says so.")
  private @Nullable String named;

  /** That one is named although no step of the plan asks for it; empty if that is not so. */
  List<Problem> unasked(Plan plan) {
    return unasked(List.of(plan));
  }

  /** The same of plans to choose from, none of which asks for it; empty without a plan. */
  List<Problem> unasked(List<Plan> plans) {
    if (named == null
        || plans.isEmpty()
        || plans.stream().anyMatch(plan -> References.named(plan).contains(AgainstUnit.NAMED))) {
      return List.of();
    }
    String which =
        plans.size() == 1
            ? "the plan " + plans.get(0).name()
            : "the " + plans.size() + " plans to choose from";
    return List.of(
        Problem.of(
            Location.of(OPTION),
            "\"" + named + "\", but no step of " + which + " asks for it",
            "a plan with a comparison \"against: {unit: reference}\""));
  }

  /** What is compared with; or what is in the way. */
  Parsed<References> of(Plan plan, Path records, String calibration) throws IOException {
    return of(named, plan, records, calibration);
  }

  /** The same where nobody could name one. */
  static Parsed<References> ofPlan(Plan plan, Path records, String calibration) throws IOException {
    return of(null, plan, records, calibration);
  }

  private static Parsed<References> of(
      @Nullable String named, Plan plan, Path records, String calibration) throws IOException {
    Map<String, ReferenceUnit> units = new TreeMap<>();
    for (String name : References.named(plan)) {
      String wanted = name.equals(AgainstUnit.NAMED) ? named : name;
      if (wanted == null) {
        continue; // its steps are left out
      }
      Optional<ReferenceUnit> found = Optional.empty();
      if (name.equals(AgainstUnit.NAMED) && ReferenceRecords.isDocument(wanted)) {
        try {
          found = Optional.of(ReferenceRecords.of(Path.of(wanted), calibration));
        } catch (IOException e) {
          return Parsed.wrong(
              List.of(
                  Problem.of(
                      Location.of(OPTION),
                      String.valueOf(e.getMessage()),
                      "the record of a run, or a serial number")));
        }
      } else {
        found = ReferenceRecords.passed(records, plan.product(), wanted, calibration);
      }
      if (found.isEmpty() && name.equals(AgainstUnit.NAMED)) {
        return Parsed.wrong(List.of(none(wanted, plan, records)));
      }
      found.ifPresent(unit -> units.put(name, unit));
    }
    return Parsed.of(References.of(units, History.units(records)));
  }

  private static Problem none(String wanted, Plan plan, Path records) throws IOException {
    return new Problem(
        Location.of(OPTION),
        "\"" + wanted + "\", of which no record is in " + records + " that it passed",
        "a " + plan.product() + " that has passed, or the file of a record",
        Nearest.to(wanted, History.units(records)).orElse(null));
  }

  /** The files with what they compare with; or everything that is in the way of this unit. */
  Parsed<Prepared> in(Prepared prepared, Path records, String unit) throws IOException {
    return in(prepared, of(prepared.plan(), records, prepared.calibrationDigest()), unit);
  }

  /** The same where nobody could name one. */
  static Parsed<Prepared> inPlan(Prepared prepared, Path records, String unit) throws IOException {
    return in(prepared, ofPlan(prepared.plan(), records, prepared.calibrationDigest()), unit);
  }

  private static Parsed<Prepared> in(
      Prepared prepared, Parsed<References> references, String unit) {
    return references
        .checked(found -> Preflight.references(prepared.plan(), found, unit))
        .map(prepared::comparedWith);
  }
}
