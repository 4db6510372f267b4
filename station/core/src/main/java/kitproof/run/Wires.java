package kitproof.run;

import java.util.ArrayList;
import java.util.Collections;
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
  /** More relays than these moving at once, loads among them, are taken for a hazard. */
  private static final int MOST_AT_ONCE = 12;

  private final List<Bench.Role> switchers;
  private final List<Line> lines = new ArrayList<>();
  private final Map<String, List<Line>> loads = new LinkedHashMap<>();
  private final boolean fixedLoad;
  private final ChannelRoutes channels;

  /** A route with its relays by their full names. */
  private record Line(Route route, Set<String> relays) {}

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
            .sorted(Comparator.comparing(role -> carriesDrive(role) ? 0 : 1))
            .toList();
    for (Bench.Role role : switchers) {
      for (Route route : role.routes()) {
        Set<String> relays = new TreeSet<>();
        route.relays().forEach(relay -> relays.add(role.name() + " " + relay));
        lines.add(new Line(route, relays));
        if (route.purpose() == Route.Purpose.LOAD) {
          loads.computeIfAbsent(route.group(), g -> new ArrayList<>()).add(new Line(route, relays));
        }
      }
    }
  }

  private static boolean carriesDrive(Bench.Role role) {
    return role.routes().stream().anyMatch(r -> r.purpose() == Route.Purpose.DRIVE);
  }

  /** In the order in which the station makes them safe. */
  List<Bench.Role> switchersDriveFirst() {
    return switchers;
  }

  /**
   * The orders in which boards may come to rest: those that carry drive are commanded side by side,
   * so that each may be before each other.
   */
  List<List<Bench.Role>> ordersOfRest() {
    List<Bench.Role> driving = switchers.stream().filter(Wires::carriesDrive).toList();
    if (driving.size() < 2) {
      return List.of(switchers);
    }
    List<Bench.Role> reversed = new ArrayList<>(driving);
    Collections.reverse(reversed);
    reversed.addAll(switchers.subList(driving.size(), switchers.size()));
    return List.of(switchers, reversed);
  }

  /** The hazard of a driven input beside an output without load, somewhere between; or empty. */
  String unloadedBetween(Relays lowest, Relays highest) {
    Set<String> low = lowest.full();
    Set<String> high = highest.full();
    boolean driven =
        lines.stream()
            .filter(l -> l.route.purpose() == Route.Purpose.DRIVE)
            .anyMatch(l -> l.relays.stream().anyMatch(high::contains));
    if (!driven) {
      return "";
    }
    for (Map.Entry<String, List<Line>> group : loads.entrySet()) {
      if (!alwaysLoaded(group.getValue(), low, high)) {
        return "drive connected while " + group.getKey() + " has no load";
      }
    }
    return loads.isEmpty() && !fixedLoad ? "drive connected on a bench without loads" : "";
  }

  private static boolean alwaysLoaded(List<Line> group, Set<String> low, Set<String> high) {
    Set<String> ofGroup = new TreeSet<>();
    group.forEach(line -> ofGroup.addAll(line.relays));
    List<String> moving =
        ofGroup.stream().filter(r -> high.contains(r) && !low.contains(r)).toList();
    if (moving.size() > MOST_AT_ONCE) {
      return false;
    }
    Set<String> still = new HashSet<>(ofGroup);
    still.retainAll(low);
    for (int some = 0; some < 1 << moving.size(); some++) {
      Set<String> now = new HashSet<>(still);
      for (int i = 0; i < moving.size(); i++) {
        if ((some >> i & 1) == 1) {
          now.add(moving.get(i));
        }
      }
      if (group.stream().noneMatch(line -> line.relays.equals(now))) {
        return false;
      }
    }
    return true;
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
