package kitproof.run;

import java.util.ArrayList;
import java.util.List;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.procedure.ReferenceUnit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Problem;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** Whether each result that a step wants of another unit is in that unit's record. */
final class ReferenceRules {
  private final Plan plan;
  private final References references;
  private final List<Problem> problems = new ArrayList<>();

  private ReferenceRules(Plan plan, References references) {
    this.plan = plan;
    this.references = references;
  }

  /**
   * Every problem.
   *
   * @param unit on the bench; empty if that is not known yet
   */
  static List<Problem> check(Plan plan, References references, String unit) {
    References besideIt = references.beside(unit);
    ReferenceRules rules = new ReferenceRules(plan, besideIt);
    Stream.concat(plan.steps().stream(), plan.shutDown().stream())
        .filter(step -> besideIt.leavesOut(step).isEmpty())
        .forEach(
            step ->
                step.outline().earlier().stream()
                    .filter(wanted -> !wanted.unit().isEmpty())
                    .forEach(wanted -> rules.wanted(step, wanted)));
    return rules.problems;
  }

  private void wanted(PlanStep step, Outline.Earlier wanted) {
    ReferenceUnit unit = references.of(wanted.unit()).orElse(null);
    if (unit == null) {
      problems.add(
          Problem.unknownName(
              step.location(),
              "a comparison with a unit that has no passed record here,",
              wanted.unit(),
              references.known()));
    } else if (!unit.product().equals(plan.product())) {
      problem(
          step,
          "a comparison with " + unit.title() + ", a " + unit.product(),
          "a record of a " + plan.product());
    } else {
      wanted(step, wanted, unit);
    }
  }

  private void wanted(PlanStep step, Outline.Earlier wanted, ReferenceUnit unit) {
    List<Measurement> named =
        unit.results().stream().filter(m -> m.name().equals(wanted.result())).toList();
    if (named.isEmpty()) {
      problems.add(
          Problem.unknownName(
              step.location(),
              "a comparison with a result that " + unit.title() + " does not have,",
              wanted.result(),
              unit.results().stream()
                  .map(Measurement::name)
                  .collect(Collectors.toCollection(TreeSet::new))));
      return;
    }
    Conditions conditions = step.conditions().and(wanted.more());
    List<Measurement> fitting =
        named.stream().filter(m -> m.conditions().satisfy(conditions)).toList();
    String under = " of " + unit.title() + " under \"" + conditions + "\"";
    if (fitting.isEmpty()) {
      problem(
          step,
          "no " + wanted.result() + under,
          "conditions of its record, such as " + named.get(0).conditions());
    } else if (fitting.size() > 1) {
      problem(
          step,
          fitting.size() + " results " + wanted.result() + under,
          "conditions that only one of them has: "
              + fitting.stream()
                  .limit(3)
                  .map(m -> m.conditions().toString())
                  .collect(Collectors.joining("; ")));
    } else if (fitting.get(0).figure() instanceof Figure.Invalid invalid) {
      problem(
          step,
          "an invalid " + wanted.result() + under + ": " + invalid.reason(),
          "a result that is a figure or a curve");
    } else {
      sameKind(step, wanted, fitting.get(0), under);
    }
  }

  private void sameKind(PlanStep step, Outline.Earlier wanted, Measurement other, String under) {
    Curve curve = other.figure() instanceof Figure.OfCurve of ? of.curve() : null;
    if ((curve != null) != wanted.curve()) {
      problem(
          step,
          wanted.result() + under + " as " + (curve == null ? "a figure" : "a curve"),
          wanted.curve() ? "result: for a figure" : "curve: for a curve");
      return;
    }
    Unit y = curve != null ? curve.yUnit() : ((Figure.OfQuantity) other.figure()).quantity().unit();
    plan.steps().stream()
        .flatMap(one -> one.outline().promises().stream())
        .filter(own -> own.name().equals(wanted.result()) && own.curve() == wanted.curve())
        .filter(
            own ->
                differs(own.unit(), y) || (curve != null && differs(own.against(), curve.xUnit())))
        .findFirst()
        .ifPresent(
            own ->
                problem(
                    step,
                    wanted.result()
                        + under
                        + " in "
                        + y.symbol()
                        + (curve == null ? "" : " against " + curve.xUnit().symbol()),
                    "the same in what this plan measures it in"));
  }

  private static boolean differs(@Nullable Unit promised, Unit found) {
    return promised != null && promised != found;
  }

  private void problem(PlanStep step, String found, String expected) {
    problems.add(Problem.of(step.location(), found, expected));
  }
}
