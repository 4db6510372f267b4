package kitproof.run;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.plan.PlanStep;
import kitproof.value.Conditions;

/**
 * What an arrangement of relays means by the bench file: whether an input is driven, which outputs
 * are loaded, whether mains gets around the limiter. Answers for all arrangements between two at
 * once, and errs on the side of a hazard.
 */
final class Wires {
  static final String NO_LOADS = "drive connected on a bench without loads";

  private final List<Bench.Role> switchers;
  private final List<Line> lines = new ArrayList<>();
  private final Map<String, List<Line>> loads = new LinkedHashMap<>();
  private final boolean fixedLoad;
  private final ChannelRoutes channels;

  /** A route of a switcher with its relays by their full names. */
  private record Line(String role, Route route, Set<String> relays) {}

  /**
   * Relays that are energised, over all switchers, by full name.
   *
   * @param byRole role to relays
   */
  record Relays(Map<String, Set<String>> byRole) {
    static final Relays NONE = new Relays(Map.of());

    Relays with(String role, Set<String> relays) {
      Map<String, Set<String>> all = new TreeMap<>(byRole);
      all.put(role, relays);
      return new Relays(all);
    }

    Relays without(String role) {
      Map<String, Set<String>> all = new TreeMap<>(byRole);
      all.remove(role);
      return new Relays(all);
    }

    Set<String> of(String role) {
      return byRole.getOrDefault(role, Set.of());
    }

    private Set<String> full() {
      Set<String> names = new TreeSet<>();
      byRole.forEach((role, relays) -> relays.forEach(r -> names.add(role + " " + r)));
      return names;
    }
  }

  Wires(Bench bench) {
    this.channels = new ChannelRoutes(bench);
    this.fixedLoad = bench.fixedLoad().isPresent();
    this.switchers =
        bench.roles().values().stream()
            .filter(role -> role.kind() == InstrumentKind.SWITCHER)
            .sorted(Comparator.comparing(r -> SafeKeeper.carries(r, Route.Purpose.DRIVE) ? 0 : 1))
            .toList();
    for (Bench.Role role : switchers) {
      for (Route route : role.routes()) {
        Set<String> relays = new TreeSet<>();
        route.relays().forEach(relay -> relays.add(role.name() + " " + relay));
        Line line = new Line(role.name(), route, relays);
        lines.add(line);
        if (route.purpose() == Route.Purpose.LOAD) {
          loads.computeIfAbsent(route.group(), g -> new ArrayList<>()).add(line);
        }
      }
    }
  }

  /** In the order in which the station makes them safe. */
  List<Bench.Role> switchersDriveFirst() {
    return switchers;
  }

  /** Whether drive may be connected with no more relays energised than these. */
  boolean drives(Relays highest) {
    Set<String> high = highest.full();
    return lines.stream()
        .filter(l -> l.route.purpose() == Route.Purpose.DRIVE)
        .anyMatch(l -> l.relays.stream().anyMatch(high::contains));
  }

  /** Whether no output has a load, neither switched nor fixed. */
  boolean isWithoutLoads() {
    return loads.isEmpty() && !fixedLoad;
  }

  /** The hazard of a driven input beside an output without load, somewhere between; or empty. */
  String unloadedBetween(Relays lowest, Relays highest) {
    if (!drives(highest)) {
      return "";
    }
    if (isWithoutLoads()) {
      return NO_LOADS;
    }
    return switchers.stream()
        .map(role -> unloaded(role.name(), lowest, highest))
        .filter(unloaded -> !unloaded.isEmpty())
        .findFirst()
        .orElse("");
  }

  /**
   * Said of an output on this switcher that may be without its load somewhere between, drive given;
   * or empty. So is one whose load is being exchanged: contacts that move are open.
   */
  String unloaded(String role, Relays lowest, Relays highest) {
    Set<String> low = lowest.full();
    Set<String> high = highest.full();
    for (Map.Entry<String, List<Line>> group : loads.entrySet()) {
      if (group.getValue().get(0).role.equals(role) && !alwaysLoaded(group.getValue(), low, high)) {
        return "drive connected while " + group.getKey() + " has no load";
      }
    }
    return "";
  }

  private static boolean alwaysLoaded(List<Line> group, Set<String> low, Set<String> high) {
    Set<String> now = new HashSet<>();
    for (Line line : group) {
      for (String relay : line.relays) {
        if (low.contains(relay) != high.contains(relay)) {
          return false;
        }
        if (low.contains(relay)) {
          now.add(relay);
        }
      }
    }
    return group.stream().anyMatch(line -> line.relays.equals(now));
  }

  /** The hazard of mains around the limiter, somewhere between; or empty. */
  String aroundTheLimiterBetween(Relays lowest, Relays highest) {
    Set<String> low = lowest.full();
    Set<String> high = highest.full();
    for (Line line : lines) {
      if (line.route.purpose() == Route.Purpose.MAINS_DIRECT && high.containsAll(line.relays)) {
        Set<String> least = new HashSet<>(low);
        least.addAll(line.relays);
        if (!limited(line, least)) {
          return "\"" + line.route.name() + "\" closed before a rise has been judged good";
        }
      }
    }
    return "";
  }

  /** Whether more relays than the direct way's put the lamps back in series. */
  private boolean limited(Line direct, Set<String> on) {
    return lines.stream()
        .filter(l -> l.route.purpose() == Route.Purpose.MAINS_LIMITED)
        .anyMatch(
            l ->
                l.relays.size() > direct.relays.size()
                    && l.relays.containsAll(direct.relays)
                    && on.containsAll(l.relays));
  }

  /** The hazard of a step that plays now; or empty. */
  String unloadedWhileDriven(Relays now, PlanStep step) {
    Set<String> on = now.full();
    for (Map.Entry<String, List<Line>> group : loads.entrySet()) {
      if (!alwaysLoaded(group.getValue(), on, on)) {
        return "a signal played while " + group.getKey() + " has no load";
      }
    }
    if (fixedLoad) {
      return "";
    }
    boolean meant =
        channels.each(step.conditions()).stream()
            .allMatch(one -> loads.values().stream().anyMatch(group -> mayBeOn(group, one)));
    return meant ? "" : "a signal played into an output that has no load on this bench";
  }

  /** Whether the loads of a group can be on the output of the channel that is meant. */
  private static boolean mayBeOn(List<Line> group, Conditions conditions) {
    String channel = conditions.values().get(ChannelRoutes.CHANNEL);
    if (channel == null) {
      return true;
    }
    Conditions meant = Conditions.of(ChannelRoutes.CHANNEL, channel);
    List<Line> conditional = group.stream().filter(l -> !l.route.when().isEmpty()).toList();
    return conditional.isEmpty()
        || conditional.stream().anyMatch(l -> !l.route.when().contradicts(meant));
  }
}
