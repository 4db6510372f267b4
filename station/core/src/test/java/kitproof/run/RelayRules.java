package kitproof.run;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.driver.Route;
import kitproof.plan.Bench;

/**
 * What relays must never do, looked at arrangement by arrangement; shares no code with the station.
 */
final class RelayRules {
  private final Bench bench;
  private final Set<String> on;
  private final List<String> violations = new ArrayList<>();
  private String step = "";
  private boolean risen;

  /**
   * For a bench.
   *
   * @param on the relays that are energised, role and relay in one word; it changes as they move
   */
  RelayRules(Bench bench, Set<String> on) {
    this.bench = bench;
    this.on = on;
  }

  /** What went against the rules, each with the step in which it did. */
  List<String> violations() {
    return violations;
  }

  /**
   * From now on it is this step; drive is connected only in the step that needs it.
   *
   * @param muted whether nothing has failed that could have kept it from being muted
   */
  void begin(String name, boolean muted) {
    if (muted && isDriven()) {
      violations.add(step + ": its drive is still connected as " + name + " begins");
    }
    step = name;
  }

  /** The rise has been judged good: from now on mains may go around the limiter. */
  void risen() {
    risen = true;
  }

  /** Looks at the arrangement as it is now. */
  void look() {
    for (Bench.Role role : bench.roles().values()) {
      for (Route route : role.routes()) {
        if (route.purpose() == Route.Purpose.DRIVE
            && route.relays().stream().anyMatch(r -> on.contains(role.name() + r))) {
          everyOutputLoaded("driven by " + route.name());
        }
      }
    }
    boolean one = on(Route.Purpose.MAINS_DIRECT);
    if (one && !risen && !lampsInSeries()) {
      violations.add(step + ": around the limiter");
    }
  }

  /** Whether any output is driven. */
  boolean isDriven() {
    return bench.roles().values().stream()
        .anyMatch(
            role ->
                role.routes().stream()
                    .filter(r -> r.purpose() == Route.Purpose.DRIVE)
                    .flatMap(r -> r.relays().stream())
                    .anyMatch(k -> on.contains(role.name() + k)));
  }

  /**
   * A relay has moved. A mute that failed holds up neither the mains nor anything else that makes
   * safe.
   *
   * @param underDrive whether an output was driven before, and nothing had failed
   */
  void moved(String role, String relay, boolean energised, boolean underDrive) {
    if (!underDrive) {
      return;
    }
    for (Route route : bench.roles().get(role).routes()) {
      if (!route.relays().contains(relay)) {
        continue;
      }
      if (route.purpose() == Route.Purpose.LOAD) {
        violations.add(step + ": a load moved under drive");
      }
      boolean mains =
          route.purpose() == Route.Purpose.MAINS_LIMITED
              || route.purpose() == Route.Purpose.MAINS_DIRECT;
      if (mains && !energised) {
        violations.add(step + ": mains taken from a driven unit");
      }
    }
  }

  private boolean on(Route.Purpose purpose) {
    return bench.roles().values().stream()
        .anyMatch(
            role ->
                role.routes().stream()
                    .filter(r -> r.purpose() == purpose)
                    .anyMatch(
                        r -> r.relays().stream().allMatch(k -> on.contains(role.name() + k))));
  }

  /** Where the limited way needs more relays than the direct one, they are in series with it. */
  private boolean lampsInSeries() {
    int direct = relaysOf(Route.Purpose.MAINS_DIRECT);
    int limited = relaysOf(Route.Purpose.MAINS_LIMITED);
    return limited > direct && on(Route.Purpose.MAINS_LIMITED);
  }

  private int relaysOf(Route.Purpose purpose) {
    return bench.routes().stream()
        .filter(r -> r.purpose() == purpose)
        .findFirst()
        .orElseThrow()
        .relays()
        .size();
  }

  /**
   * An output has a load if the relays of its group that are energised are just those of a load.
   */
  void everyOutputLoaded(String how) {
    for (Bench.Role role : bench.roles().values()) {
      Map<String, Set<String>> ofGroup = new LinkedHashMap<>();
      for (Route route : role.routes()) {
        if (route.purpose() == Route.Purpose.LOAD) {
          ofGroup.computeIfAbsent(route.group(), g -> new HashSet<>()).addAll(route.relays());
        }
      }
      ofGroup.forEach(
          (group, relays) -> {
            Set<String> now = new HashSet<>(relays);
            now.removeIf(r -> !on.contains(role.name() + r));
            boolean loaded =
                role.routes().stream()
                    .filter(r -> r.group().equals(group))
                    .anyMatch(r -> Set.copyOf(r.relays()).equals(now));
            if (!loaded) {
              violations.add(step + ": " + group + " without load, " + how);
            }
          });
    }
  }
}
