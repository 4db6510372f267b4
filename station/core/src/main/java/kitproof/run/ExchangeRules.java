package kitproof.run;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.plan.PlanStep;
import kitproof.value.Conditions;
import kitproof.value.Problem;

/**
 * Whether the routes that a step selects by itself for a while can stand in the places of others,
 * so that its output is on a load throughout.
 */
final class ExchangeRules {
  private final Bench bench;
  private final PlanStep step;
  private final List<Problem> problems = new ArrayList<>();

  private ExchangeRules(Bench bench, PlanStep step) {
    this.bench = bench;
    this.step = step;
  }

  static List<Problem> check(Bench bench, PlanStep step) {
    ExchangeRules rules = new ExchangeRules(bench, step);
    Set<String> groups = new HashSet<>();
    Set<String> told = new HashSet<>();
    for (Conditions one : new ChannelRoutes(bench).each(step.conditions())) {
      for (String text : step.outline().exchanges()) {
        rules.exchange(text, one, groups, told);
      }
    }
    return rules.problems;
  }

  private void exchange(String text, Conditions one, Set<String> groups, Set<String> told) {
    String name;
    try {
      name = one.fill(text);
    } catch (IllegalArgumentException e) {
      problems.add(
          Problem.of(step.location(), "route \"" + text + "\"", String.valueOf(e.getMessage())));
      return;
    }
    if (!told.add(name)) {
      return; // a route for every channel alike
    }
    Map<String, Route> selectable = new HashMap<>();
    for (Route route : bench.routes()) {
      if (route.purpose() == Route.Purpose.OTHER || route.purpose() == Route.Purpose.LOAD) {
        selectable.put(route.name(), route);
      }
    }
    Route route = selectable.get(name);
    if (route == null) {
      problems.add(
          Problem.unknownName(step.location(), "route", name, new TreeSet<>(selectable.keySet())));
    } else if (!groups.add(route.group())) {
      problems.add(
          Problem.of(
              step.location(),
              "route \"" + name + "\" at the same time as another of its group",
              "one route of group " + route.group()));
    } else {
      place(route, one);
    }
  }

  /** It has a place to stand in, and one to go back to; a load is that of the step's output. */
  private void place(Route route, Conditions one) {
    List<Route> group =
        bench.routes().stream().filter(r -> r.group().equals(route.group())).toList();
    boolean selected =
        group.stream()
            .anyMatch(
                r ->
                    step.select().contains(r.name())
                        || (!r.when().isEmpty() && one.satisfy(r.when())));
    if (route.purpose() == Route.Purpose.LOAD && !selected) {
      problems.add(
          Problem.of(
              step.location(),
              "load \"" + route.name() + "\" on an output that the step does not use",
              "a load of the group of the step's own load"));
    } else if (!selected && group.stream().noneMatch(r -> r.relays().isEmpty())) {
      problems.add(
          Problem.of(
              step.location(),
              "route \"" + route.name() + "\" with nothing to go back to",
              "one of its group under select, or one without relays on the bench"));
    }
  }
}
