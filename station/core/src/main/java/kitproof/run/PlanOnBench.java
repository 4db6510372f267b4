package kitproof.run;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Problem;

/** A plan against the bench it is to run on. */
final class PlanOnBench {
  private final Plan plan;
  private final Bench bench;
  private final ChannelRoutes channels;

  /** Repeated steps would tell the same problem again and again. */
  private final Set<Problem> problems = new LinkedHashSet<>();

  private final Set<Location> unloaded = new HashSet<>();
  private final Set<Location> undriven = new HashSet<>();

  /** By group, what steps before have selected by name and nothing has replaced since. */
  private final Map<String, Route> lasting = new TreeMap<>();

  private PlanOnBench(Plan plan, Bench bench) {
    this.plan = plan;
    this.bench = bench;
    this.channels = new ChannelRoutes(bench);
  }

  static List<Problem> check(Plan plan, Bench bench) {
    PlanOnBench check = new PlanOnBench(plan, bench);
    Stream.concat(plan.steps().stream(), plan.shutDown().stream()).forEach(check::step);
    check.problems.addAll(MainsRules.check(plan, bench));
    check.results();
    check.problems.addAll(EarlierRules.check(plan, bench));
    return new ArrayList<>(check.problems);
  }

  private void step(PlanStep step) {
    Outline outline = step.outline();
    outline.needs().forEach(need -> need(step, need));
    boolean known = true;
    for (Map.Entry<String, String> condition : step.conditions().values().entrySet()) {
      known &= condition(step, condition.getKey(), condition.getValue());
    }
    step.select().forEach(route -> selected(step, route));
    onePerGroup(step);
    lasting(step);
    problems.addAll(ExchangeRules.check(bench, step));
    if (known) { // else that would only be told once more in other words
      if (outline.loaded()) {
        load(step, outline.drives());
      }
      if (outline.drives()) {
        drive(step);
      }
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
              "role " + need.role() + ", which is of kind " + role.kind(),
              "a role of kind " + need.kind()));
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
              need.role() + " function",
              need.function(),
              functions.entries().stream().map(Node.Entry::key).toList()));
    }
  }

  /** Whether the bench can bring this condition about. */
  private boolean condition(PlanStep step, String name, String value) {
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
      if (!name.equals(ChannelRoutes.CHANNEL)) {
        problems.add(Problem.unknownName(step.location(), "condition", name, names));
        return false;
      }
    } else if (!values.contains(value) && !allChannels(name, value)) {
      problems.add(Problem.unknownName(step.location(), "no route for " + name, value, values));
      return false;
    }
    return true;
  }

  private boolean allChannels(String name, String value) {
    return name.equals(ChannelRoutes.CHANNEL)
        && value.equals(ChannelRoutes.BOTH)
        && channels.channels().size() > 1;
  }

  private void selected(PlanStep step, String name) {
    Set<String> others = new TreeSet<>();
    for (Route route : bench.routes()) {
      if (route.purpose() == Route.Purpose.OTHER
          || route.purpose() == Route.Purpose.COLD
          || route.purpose() == Route.Purpose.LOAD) {
        others.add(route.name());
      }
    }
    if (bench.routes().stream().anyMatch(r -> r.name().equals(name)) && !others.contains(name)) {
      problems.add(
          Problem.of(
              step.location(),
              "route \"" + name + "\" under select",
              "a load, a mode or a probe: drive and mains are switched by the station's own"
                  + " rules"));
    } else if (!others.contains(name)) {
      problems.add(Problem.unknownName(step.location(), "route", name, others));
    }
  }

  private void onePerGroup(PlanStep step) {
    Map<String, String> byGroup = new HashMap<>();
    Map<String, String> chosen = new HashMap<>();
    for (Route route : bench.routes()) {
      if (step.select().contains(route.name())) {
        one(step, route, chosen);
      }
    }
    List<Route> wanted = new ArrayList<>(channels.wanted(step.conditions()));
    if (step.outline().drives()) {
      wanted.addAll(channels.drive(step.conditions()));
    }
    for (Route route : wanted) {
      if (!chosen.containsKey(route.group())) {
        one(step, route, byGroup);
      }
    }
  }

  /** What is selected by name stays until its group is named again: drive would meet it unasked. */
  private void lasting(PlanStep step) {
    List<Route> byName =
        bench.routes().stream().filter(r -> step.select().contains(r.name())).toList();
    if (!step.outline().touchesNothing() || !byName.isEmpty()) {
      channels.wanted(step.conditions()).forEach(route -> lasting.remove(route.group()));
    }
    byName.forEach(route -> lasting.remove(route.group()));
    if (step.outline().drives()) {
      lasting.values().forEach(route -> drivenBeside(step, route));
    }
    byName.stream()
        .filter(r -> r.purpose() == Route.Purpose.OTHER && !r.relays().isEmpty())
        .forEach(r -> lasting.put(r.group(), r));
  }

  private void drivenBeside(PlanStep step, Route left) {
    String rest =
        bench.routes().stream()
            .filter(r -> r.group().equals(left.group()) && r.relays().isEmpty())
            .map(Route::name)
            .findFirst()
            .orElse("a route of group " + left.group());
    problems.add(
        Problem.of(
            step.location(),
            "drive while \"" + left.name() + "\" is selected by an earlier step",
            "\"select: [" + rest + "]\", or \"select: [" + left.name() + "]\" if that is meant"));
  }

  private void one(PlanStep step, Route route, Map<String, String> byGroup) {
    String other = byGroup.putIfAbsent(route.group(), route.name());
    if (other != null && !other.equals(route.name())) {
      problems.add(
          Problem.of(
              step.location(),
              "a step that wants both \"" + other + "\" and \"" + route.name() + "\"",
              "one route of group " + route.group()));
    }
  }

  private void load(PlanStep step, boolean drives) {
    for (Conditions one : channels.each(step.conditions())) {
      if (!loaded(step, one) && unloaded.add(step.location())) {
        problems.add(
            Problem.of(
                step.location(),
                (drives ? "drive without a load" : "an output without a load listened to")
                    + under(one),
                "conditions that select a load route of the bench: "
                    + (drives
                        ? "an unloaded output is never driven"
                        : "an output's noise holds for its load")));
      }
    }
  }

  private void drive(PlanStep step) {
    List<Route> drives =
        bench.routes().stream().filter(r -> r.purpose() == Route.Purpose.DRIVE).toList();
    boolean driven = drives.isEmpty() || !channels.drive(step.conditions()).isEmpty();
    if (!driven && undriven.add(step.location())) {
      problems.add(
          Problem.of(
              step.location(),
              "drive without a route for it" + under(step.conditions()),
              "conditions that select one of "
                  + drives.stream()
                      .map(r -> r.name() + " (" + r.when() + ")")
                      .collect(Collectors.joining(", "))));
    }
  }

  /** Whether a step has a load on the output that these conditions, of one channel, mean. */
  private boolean loaded(PlanStep step, Conditions one) {
    return bench.fixedLoad().isPresent()
        || bench.routes().stream()
            .filter(r -> r.purpose() == Route.Purpose.LOAD)
            .anyMatch(
                r ->
                    (step.select().contains(r.name()) && mayBeMeant(one, r))
                        || (!r.when().isEmpty() && one.satisfy(r.when())));
  }

  /** Whether a load chosen by name can be on the output that the step's conditions mean. */
  private boolean mayBeMeant(Conditions one, Route load) {
    List<Route> conditional =
        bench.routes().stream()
            .filter(r -> r.group().equals(load.group()) && !r.when().isEmpty())
            .toList();
    return conditional.isEmpty() || conditional.stream().anyMatch(r -> !r.when().contradicts(one));
  }

  /** " under \"mode triode\""; empty for no conditions. */
  static String under(Conditions conditions) {
    return conditions.isEmpty() ? "" : " under \"" + conditions + "\"";
  }

  /** A result is known by its name and conditions; two of the same would be mistaken. */
  private void results() {
    Set<String> seen = new HashSet<>();
    Stream.concat(plan.steps().stream(), plan.shutDown().stream())
        .forEach(
            step -> {
              for (Outline.Promise promise : step.outline().promises()) {
                List<Conditions> under =
                    promise.perChannel()
                        ? channels.each(step.conditions())
                        : List.of(step.conditions());
                boolean again = false;
                for (Conditions one : under) {
                  again |=
                      !seen.add(promise.name() + new TreeMap<>(one.and(promise.more()).values()));
                }
                if (again) {
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
