package kitproof.run;

import java.util.List;
import java.util.stream.Stream;
import kitproof.driver.InstrumentKind;
import kitproof.operator.PersonDriver;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.value.Problem;

/** A plan that asks a person against a run that has nobody to ask. */
final class PeopleOnBench {
  private PeopleOnBench() {}

  static List<Problem> nobody(Plan plan, Bench bench, String why) {
    return Stream.concat(plan.steps().stream(), plan.shutDown().stream())
        .filter(step -> asks(step, bench))
        .limit(1)
        .map(
            step ->
                Problem.of(
                    step.location(),
                    "a step that asks the person at the bench, and nobody to ask (" + why + ")",
                    "a run started on a terminal, without --json"))
        .toList();
  }

  private static boolean asks(PlanStep step, Bench bench) {
    return step.outline().needs().stream()
        .filter(need -> need.kind() == InstrumentKind.OPERATOR)
        .map(need -> bench.roles().get(need.role()))
        .anyMatch(role -> role != null && role.driver().equals(PersonDriver.ID));
  }
}
