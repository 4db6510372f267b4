package kitproof.run;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.OnFail;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Problem;

/** A plan against the bench it is to run on. */
final class PlanOnBench {
  private final Plan plan;
  private final Bench bench;

  /** Repeated steps would tell the same problem again and again. */
  private final Set<Problem> problems = new LinkedHashSet<>();

  private PlanOnBench(Plan plan, Bench bench) {
    this.plan = plan;
    this.bench = bench;
  }

  static List<Problem> check(Plan plan, Bench bench) {
    PlanOnBench check = new PlanOnBench(plan, bench);
    Stream.concat(plan.steps().stream(), plan.shutDown().stream()).forEach(check::step);
    check.mains();
    check.results();
    return new ArrayList<>(check.problems);
  }

  private void step(PlanStep step) {
    Outline outline = step.outline();
    outline.needs().forEach(need -> need(step, need));
    step.conditions().values().forEach((name, value) -> condition(step, name, value));
    step.select().forEach(route -> selected(step, route));
    onePerGroup(step);
    if (outline.drives()) {
      drive(step);
    }
  }

  private void need(PlanStep step, Outline.Need need) {
    Bench.Role role = bench.roles().get(need.role());
    List<String> ofKind =
        bench.roles().values().stream()
            .filter(r -> r.kind() == need.kind())
            .map(Bench.Role::name)
            .toList();
    if (role == null) {
      problems.add(
          Problem.unknownName(step.location(), need.kind() + " role", need.role(), ofKind));
    } else if (role.kind() != need.kind()) {
      problems.add(
          Problem.of(
              step.location(),
              "role " + need.role() + ", a " + role.kind() + " on this bench",
              "a " + need.kind()));
    } else if (need.kind() == InstrumentKind.METER) {
      function(step, need, role);
    }
  }

  /** Meters declare their functions by name in the section "functions" of their settings. */
  private void function(PlanStep step, Outline.Need need, Bench.Role role) {
    if (role.settings().get("functions").orElse(null) instanceof Node.Mapping functions
        && functions.get(need.function()).isEmpty()) {
      problems.add(
          Problem.unknownName(
              step.location(),
              "function of " + need.role(),
              need.function(),
              functions.entries().stream().map(Node.Entry::key).toList()));
    }
  }

  private void condition(PlanStep step, String name, String value) {
    Set<String> values = new TreeSet<>();
    Set<String> names = new TreeSet<>();
    for (Route route : bench.routes()) {
      names.addAll(route.when().values().keySet());
      String known = route.when().values().get(name);
      if (known != null) {
        values.add(known);
      }
    }
    if (!names.contains(name)) {
      // A bench without a switcher cannot bring about any condition: then none may be asked for,
      // except a channel, which the audio interface has by name.
      if (!name.equals("channel")) {
        problems.add(Problem.unknownName(step.location(), "condition", name, names));
      }
    } else if (!values.contains(value)) {
      problems.add(
          Problem.unknownName(
              step.location(), "condition " + name + " without a route for it,", value, values));
    }
  }

  private void selected(PlanStep step, String name) {
    Set<String> others = new TreeSet<>();
    for (Route route : bench.routes()) {
      if (route.purpose() == Route.Purpose.OTHER || route.purpose() == Route.Purpose.LOAD) {
        others.add(route.name());
      }
    }
    if (!others.contains(name)) {
      problems.add(Problem.unknownName(step.location(), "route", name, others));
    }
  }

  private void onePerGroup(PlanStep step) {
    Map<String, String> byGroup = new HashMap<>();
    for (Route route : bench.routes()) {
      if (!route.when().isEmpty() && step.conditions().satisfy(route.when())) {
        String other = byGroup.put(route.group(), route.name());
        if (other != null) {
          problems.add(
              Problem.of(
                  step.location(),
                  "conditions that want both \"" + other + "\" and \"" + route.name() + "\"",
                  "one route of group " + route.group()));
        }
      }
    }
  }

  private void drive(PlanStep step) {
    boolean loaded =
        bench.fixedLoad().isPresent()
            || bench.routes().stream()
                .anyMatch(
                    r ->
                        r.purpose() == Route.Purpose.LOAD
                            && !r.when().isEmpty()
                            && step.conditions().satisfy(r.when()));
    if (!loaded) {
      problems.add(
          Problem.of(
              step.location(),
              "drive without a load under \"" + step.conditions() + "\"",
              "conditions that select a load route of the bench: an unloaded output is never"
                  + " driven"));
    }
    List<Route> drives =
        bench.routes().stream().filter(r -> r.purpose() == Route.Purpose.DRIVE).toList();
    if (!drives.isEmpty() && drives.stream().noneMatch(r -> step.conditions().satisfy(r.when()))) {
      problems.add(
          Problem.of(
              step.location(),
              "no drive route under \"" + step.conditions() + "\"",
              "conditions that select one of "
                  + drives.stream().map(Route::name).collect(Collectors.joining(", "))));
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
        case OFF -> mainsRoute(step, Route.Purpose.MAINS_OFF);
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

  private void mainsRoute(PlanStep step, Route.Purpose purpose) {
    if (bench.routes().stream().noneMatch(r -> r.purpose() == purpose)) {
      problems.add(
          Problem.of(
              step.location(),
              "a step that needs a route for " + purpose,
              "a route with purpose: " + purpose + " on the bench"));
    }
  }

  /** A result is known by its name and conditions; two of the same would be mistaken. */
  private void results() {
    Set<String> seen = new HashSet<>();
    Stream.concat(plan.steps().stream(), plan.shutDown().stream())
        .forEach(
            step -> {
              for (Outline.Promise promise : step.outline().promises()) {
                String key =
                    promise.name()
                        + new java.util.TreeMap<>(step.conditions().and(promise.more()).values());
                if (!seen.add(key)) {
                  problems.add(
                      Problem.of(
                          step.location(),
                          "result \""
                              + promise.name()
                              + "\" a second time under \""
                              + step.conditions().and(promise.more())
                              + "\"",
                          "another name or other conditions for it"));
                }
              }
            });
  }
}
