package kitproof.screen;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import kitproof.driver.InstrumentKind;
import kitproof.interlock.Interlock;
import kitproof.limit.Judge;
import kitproof.limit.Limit;
import kitproof.limit.LimitFile;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * Which readings of a plan are worth watching: the HV rail always, and what each step reads.
 *
 * @param rail where the HV rail is read, as the shut-down or else the first power says; empty if
 *     the plan does not read it
 * @param railLimit above this an interlock takes the mains away, or null
 * @param steps for each step, the shut-down's among them, what it reads; empty if no meter
 * @param heard for each step what it promises to hear, with the limits
 * @param discharges for each step whether it takes the mains away and watches the discharge
 */
record Watched(
    Optional<Source> rail,
    @Nullable Quantity railLimit,
    List<Optional<Bounded>> steps,
    List<Audible> heard,
    List<Boolean> discharges) {

  /** A meter's function. */
  record Source(String meter, String function) {
    @Override
    public String toString() {
      return meter + " " + function;
    }
  }

  /**
   * A reading with the limits of the result that is made of it.
   *
   * @param low null if there is none
   * @param high null if there is none
   */
  record Bounded(Source source, @Nullable Quantity low, @Nullable Quantity high) {}

  Watched {
    steps = List.copyOf(steps);
    heard = List.copyOf(heard);
    discharges = List.copyOf(discharges);
  }

  static Watched of(Plan plan, LimitFile limits) {
    List<PlanStep> all = Stream.concat(plan.steps().stream(), plan.shutDown().stream()).toList();
    Judge judge = new Judge(limits);
    List<Optional<Bounded>> steps = new ArrayList<>();
    for (PlanStep step : all) {
      steps.add(source(step).map(source -> bounded(source, step, judge)));
    }
    Optional<Source> rail =
        reading(all, Outline.MainsUse.OFF).or(() -> reading(all, Outline.MainsUse.FIRST_POWER));
    return new Watched(
        rail,
        rail.map(source -> limit(plan, source)).orElse(null),
        steps,
        all.stream().map(step -> new Audible(step, judge)).toList(),
        all.stream().map(step -> step.outline().mains() == Outline.MainsUse.OFF).toList());
  }

  private static Optional<Source> reading(List<PlanStep> steps, Outline.MainsUse mains) {
    return steps.stream()
        .filter(step -> step.outline().mains() == mains)
        .flatMap(step -> source(step).stream())
        .findFirst();
  }

  private static Optional<Source> source(PlanStep step) {
    return step.outline().needs().stream()
        .filter(need -> need.kind() == InstrumentKind.METER)
        .map(need -> new Source(need.role(), need.function()))
        .findFirst();
  }

  private static @Nullable Quantity limit(Plan plan, Source rail) {
    return plan.interlocks().stream()
        .filter(i -> i.meter().equals(rail.meter) && i.function().equals(rail.function))
        .map(Interlock::high)
        .filter(high -> high != null)
        .min(Quantity::compareTo)
        .orElse(null);
  }

  /** The first result of the step that is a single value with a limit. */
  private static Bounded bounded(Source source, PlanStep step, Judge judge) {
    return step.outline().promises().stream()
        .filter(promise -> !promise.curve())
        .flatMap(
            promise ->
                judge.entryFor(promise.name(), step.conditions().and(promise.more())).stream())
        .map(entry -> entry.limit())
        .filter(Limit.Scalar.class::isInstance)
        .map(Limit.Scalar.class::cast)
        .findFirst()
        .map(limit -> new Bounded(source, limit.low(), limit.high()))
        .orElse(new Bounded(source, null, null));
  }
}
