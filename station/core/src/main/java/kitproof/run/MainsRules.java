package kitproof.run;

import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.OnFail;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.value.Location;
import kitproof.value.Problem;

/**
 * What a plan does with the mains: first power is limited, full mains comes only after a judged
 * rise, what was on is discharged, and what ends a run begins nothing.
 */
final class MainsRules {
  private final Plan plan;
  private final Bench bench;
  private final Set<Problem> problems = new LinkedHashSet<>();

  private MainsRules(Plan plan, Bench bench) {
    this.plan = plan;
    this.bench = bench;
  }

  static Set<Problem> check(Plan plan, Bench bench) {
    MainsRules rules = new MainsRules(plan, bench);
    rules.mains();
    plan.shutDown().forEach(rules::shutDown);
    return rules.problems;
  }

  /** What ends a run does not begin anything. */
  private void shutDown(PlanStep step) {
    if (step.outline().mains() == Outline.MainsUse.COLD) {
      problems.add(
          Problem.of(
              step.location(),
              cold(step) + " under shut-down",
              "its place before the first step that applies mains"));
    }
    boolean applies = step.mains() != null && step.mains().purpose() != Route.Purpose.MAINS_OFF;
    if (applies || step.outline().mains() == Outline.MainsUse.FIRST_POWER) {
      problems.add(
          Problem.of(
              step.location(),
              "mains applied under shut-down",
              "steps that leave the mains off: they are done after a fault too"));
    }
    if (step.outline().drives()) {
      problems.add(
          Problem.of(
              step.location(),
              "drive under shut-down",
              "steps without drive: they are done after a fault too"));
    }
  }

  /** First power is limited; full mains only after a judged rise; what was on is shut down. */
  private void mains() {
    boolean risen = false;
    boolean on = false;
    Location where = plan.source().location();
    for (PlanStep step : plan.steps()) {
      if (step.mains() != null) {
        mainsRoute(step, step.mains().purpose());
        boolean off = step.mains().purpose() == Route.Purpose.MAINS_OFF;
        boolean direct = step.mains().purpose() == Route.Purpose.MAINS_DIRECT;
        on |= !off;
        risen &= !off; // what rises anew is judged anew
        if (direct && !risen) {
          problems.add(
              Problem.of(
                  step.location(),
                  "mains: direct before a supply rise has been judged",
                  "a supply-rise step with on-fail: stop before it: first power is limited"));
          risen = true; // told once
        }
      }
      switch (step.outline().mains()) {
        case FIRST_POWER -> {
          mainsRoute(step, Route.Purpose.MAINS_LIMITED);
          on = true;
          where = step.location();
          if (step.onFail() != OnFail.STOP) {
            problems.add(
                Problem.of(
                    step.location(),
                    "a supply rise whose failure lets the run go on",
                    "on-fail: stop, so that the limiter is never taken out of a bad unit"));
          }
          risen = true;
        }
        case OFF -> {
          mainsRoute(step, Route.Purpose.MAINS_OFF);
          risen = false;
        }
        case COLD -> cold(step, on);
        case NONE -> {}
      }
    }
    boolean discharged =
        plan.shutDown().stream().anyMatch(s -> s.outline().mains() == Outline.MainsUse.OFF);
    if (on && !discharged) {
      problems.add(
          Problem.of(
              where,
              "mains applied in a plan that does not measure the discharge",
              "a discharge step under shut-down: discharge is measured, not assumed"));
    }
  }

  /** What is done to the cold unit, or to the station, comes before any mains. */
  private void cold(PlanStep step, boolean on) {
    if (bench.routes().stream().map(Route::purpose).anyMatch(MainsRules::applies)) {
      mainsRoute(step, Route.Purpose.MAINS_OFF);
    }
    if (on) {
      problems.add(
          Problem.of(
              step.location(),
              cold(step) + " after mains has been on",
              "its place before the first step that applies mains"));
    }
  }

  private static String cold(PlanStep step) {
    String id = step.procedure().id();
    return id.startsWith("check-") || id.startsWith("calibrate-")
        ? "a " + id + " step, which wants a bench without a live unit,"
        : "a check of the cold unit";
  }

  private static boolean applies(Route.Purpose purpose) {
    return purpose == Route.Purpose.MAINS_LIMITED || purpose == Route.Purpose.MAINS_DIRECT;
  }

  private void mainsRoute(PlanStep step, Route.Purpose purpose) {
    if (MainsRoute.of(bench, purpose, step.conditions()).isPresent()) {
      return;
    }
    List<String> when =
        bench.routes().stream()
            .filter(route -> route.purpose() == purpose)
            .map(route -> "\"" + route.when() + "\"")
            .toList();
    problems.add(
        when.isEmpty()
            ? Problem.of(
                step.location(),
                "a step that needs a route for " + purpose,
                "a route with purpose: " + purpose + " on the bench")
            : Problem.of(
                step.location(),
                "a step for "
                    + purpose
                    + PlanOnBench.under(step.conditions())
                    + ", which chooses none of its routes",
                "one of " + String.join(", ", when) + " among its conditions"));
  }
}
