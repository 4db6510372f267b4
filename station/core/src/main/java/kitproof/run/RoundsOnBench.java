package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.value.Problem;

/** Whether the meters can be read as often as a step must see them. */
final class RoundsOnBench {
  private RoundsOnBench() {}

  static List<Problem> check(Plan plan, Bench bench, ReadingTimes times) {
    List<Problem> problems = new ArrayList<>();
    Stream.concat(plan.steps().stream(), plan.shutDown().stream())
        .forEach(step -> round(step, bench, times, problems));
    return problems;
  }

  /** One reading of each meter, one after the other. */
  private static void round(
      PlanStep step, Bench bench, ReadingTimes times, List<Problem> problems) {
    Duration round = Duration.ZERO;
    Duration within = Duration.ZERO;
    for (Outline.Need need : step.outline().needs()) {
      Bench.Role role = bench.roles().get(need.role());
      Duration often = need.within();
      if (role != null && role.kind() == need.kind() && often != null) {
        round = round.plus(times.of(role, need.function()));
        within = within.isZero() || often.compareTo(within) < 0 ? often : within;
      }
    }
    if (round.compareTo(within) > 0) {
      problems.add(
          Problem.of(
              step.location(),
              "step "
                  + step.name()
                  + " that must see a fault within "
                  + within.toMillis()
                  + " ms, whose readings take up to "
                  + round.toMillis()
                  + " ms",
              "at least " + round.toMillis() + " ms"));
    }
  }
}
