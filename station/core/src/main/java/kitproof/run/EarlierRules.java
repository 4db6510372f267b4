package kitproof.run;

import java.util.ArrayList;
import java.util.List;
import java.util.TreeSet;
import java.util.stream.Collectors;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.value.Conditions;
import kitproof.value.Problem;

/** Whether each result that a step wants of earlier ones is there, and only one that fits. */
final class EarlierRules {
  private record Promised(Outline.Promise promise, Conditions conditions) {}

  private final List<Promised> before = new ArrayList<>();
  private final List<Problem> problems = new ArrayList<>();

  private final ChannelRoutes channels;

  private EarlierRules(Bench bench) {
    this.channels = new ChannelRoutes(bench);
  }

  static List<Problem> check(Plan plan, Bench bench) {
    EarlierRules rules = new EarlierRules(bench);
    for (PlanStep step : plan.steps()) {
      rules.step(step);
    }
    for (PlanStep step : plan.shutDown()) {
      rules.step(step);
    }
    return rules.problems;
  }

  private void step(PlanStep step) {
    Outline outline = step.outline();
    outline.earlier().stream()
        .filter(wanted -> wanted.unit().isEmpty()) // what is of another unit is in its record
        .forEach(wanted -> wanted(step, wanted));
    for (Outline.Promise promise : outline.promises()) {
      List<Conditions> under =
          promise.perChannel() ? channels.each(step.conditions()) : List.of(step.conditions());
      under.forEach(one -> before.add(new Promised(promise, one.and(promise.more()))));
    }
  }

  private void wanted(PlanStep step, Outline.Earlier wanted) {
    List<Promised> named =
        before.stream().filter(p -> p.promise.name().equals(wanted.result())).toList();
    if (named.isEmpty()) {
      problems.add(
          Problem.unknownName(
              step.location(),
              "result",
              wanted.result(),
              new TreeSet<>(before.stream().map(p -> p.promise.name()).toList())));
      return;
    }
    if (named.stream().noneMatch(p -> p.promise.curve() == wanted.curve())) {
      problems.add(
          Problem.of(
              step.location(),
              wanted.result() + " as " + (wanted.curve() ? "a curve" : "a figure"),
              wanted.curve() ? "result: for a figure" : "curve: for a curve"));
      return;
    }
    Conditions conditions = step.conditions().and(wanted.more());
    List<Promised> fitting =
        named.stream()
            .filter(p -> p.promise.curve() == wanted.curve() && p.conditions.satisfy(conditions))
            .toList();
    if (fitting.isEmpty()) {
      problems.add(
          Problem.of(
              step.location(),
              "no " + wanted.result() + " before this step under \"" + conditions + "\"",
              "conditions of an earlier step, such as " + named.get(0).conditions));
    } else if (fitting.size() > 1) {
      problems.add(
          Problem.of(
              step.location(),
              fitting.size() + " results " + wanted.result() + " under \"" + conditions + "\"",
              "conditions that only one of them has: "
                  + fitting.stream()
                      .limit(3)
                      .map(p -> p.conditions.toString())
                      .collect(Collectors.joining("; "))));
    }
  }
}
