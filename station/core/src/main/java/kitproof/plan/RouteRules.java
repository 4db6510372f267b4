package kitproof.plan;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.driver.Route;
import kitproof.value.Location;
import kitproof.value.Problem;

/**
 * What the routes of a bench must be so that the safe state is one: at rest the drive is muted, the
 * mains off and every output on a load, and no other group can hold a relay of drive or mains.
 */
final class RouteRules {
  private final List<Problem> problems = new ArrayList<>();
  private final List<Placed> all = new ArrayList<>();

  /** What a group as a whole is for. */
  private enum Family {
    DRIVE("drive"),
    MAINS("mains"),
    LOAD("load"),
    COLD("cold"),
    RANGE("input ranges"),
    OTHER("other");

    private final String word;

    Family(String word) {
      this.word = word;
    }

    static Family of(Route route) {
      return switch (route.purpose()) {
        case MUTE, DRIVE -> DRIVE;
        case MAINS_OFF, MAINS_LIMITED, MAINS_DIRECT -> MAINS;
        case LOAD -> LOAD;
        case COLD -> COLD;
        case RANGE -> RANGE;
        case OTHER -> OTHER;
      };
    }
  }

  private record Placed(Bench.Role role, Route route) {
    Location location() {
      return Places.of(role.source(), "routes", route.name());
    }

    Family family() {
      return Family.of(route);
    }
  }

  private RouteRules(Map<String, Bench.Role> roles) {
    for (Bench.Role role : roles.values()) {
      role.routes().forEach(route -> all.add(new Placed(role, route)));
    }
  }

  static List<Problem> check(Map<String, Bench.Role> roles) {
    RouteRules rules = new RouteRules(roles);
    rules.all.forEach(rules::live);
    rules.groups();
    rules.relays();
    return rules.problems;
  }

  /** A route that carries drive or mains must be open when every relay is at rest. */
  private void live(Placed placed) {
    boolean live =
        switch (placed.route.purpose()) {
          case DRIVE, MAINS_LIMITED, MAINS_DIRECT -> true;
          case MUTE, MAINS_OFF, LOAD, COLD, RANGE, OTHER -> false;
        };
    if (live && placed.route.relays().isEmpty()) {
      problems.add(
          Problem.of(
              placed.location(),
              "a route for " + placed.route.purpose() + " without relays",
              "relays to energise: at rest the bench is safe, drive muted and mains off"));
    }
  }

  private void groups() {
    Map<String, Placed> first = new LinkedHashMap<>();
    for (Placed placed : all) {
      Placed earlier = first.putIfAbsent(placed.route.group(), placed);
      if (earlier == null) {
        continue;
      }
      if (!earlier.role.name().equals(placed.role.name())) {
        problems.add(
            Problem.of(
                placed.location(),
                "group " + placed.route.group() + " on a second switcher",
                "a group of its own: role " + earlier.role.name() + " has this one already"));
      } else if (earlier.family() != placed.family()) {
        problems.add(
            Problem.of(
                placed.location(),
                "purpose: " + placed.route.purpose() + " in group " + placed.route.group(),
                "a group of its own: this one is for " + earlier.family().word));
      }
    }
    String mains = null;
    String ranges = null;
    for (Placed placed : first.values()) {
      if (placed.family() == Family.DRIVE) {
        requireRest(placed, Route.Purpose.MUTE);
      } else if (placed.family() == Family.MAINS && mains != null) {
        problems.add(
            Problem.of(
                placed.location(),
                "a second group for mains",
                "every mains route in group " + mains));
      } else if (placed.family() == Family.MAINS) {
        requireRest(placed, Route.Purpose.MAINS_OFF);
        mains = placed.route.group();
      } else if (placed.family() == Family.LOAD) {
        requireRest(placed, Route.Purpose.LOAD);
      } else if (placed.family() == Family.COLD) {
        requireRest(placed, Route.Purpose.COLD);
      } else if (placed.family() == Family.RANGE && ranges != null) {
        problems.add(
            Problem.of(
                placed.location(),
                "a second group for input ranges",
                "every input range in group " + ranges));
      } else if (placed.family() == Family.RANGE) {
        requireRest(placed, Route.Purpose.RANGE);
        ranges = placed.route.group();
        leastSensitiveAtRest();
      }
    }
  }

  private void requireRest(Placed group, Route.Purpose rest) {
    boolean there =
        all.stream()
            .anyMatch(
                p ->
                    p.route.group().equals(group.route.group())
                        && p.route.purpose() == rest
                        && (!mayHaveRelays(rest) || p.route.relays().isEmpty()));
    if (!there) {
      problems.add(
          Problem.of(
              group.location(),
              "group " + group.route.group() + " without a route to rest in",
              "a route without relays and with purpose: " + rest + " in this group"));
    }
  }

  private static boolean mayHaveRelays(Route.Purpose rest) {
    return rest == Route.Purpose.LOAD || rest == Route.Purpose.COLD || rest == Route.Purpose.RANGE;
  }

  /** What stands at rest must take whatever may come. */
  private void leastSensitiveAtRest() {
    List<Placed> ranges = all.stream().filter(p -> p.family() == Family.RANGE).toList();
    for (Placed rest : ranges) {
      for (Placed other : ranges) {
        if (rest.route.relays().isEmpty() && fullScale(other) > fullScale(rest)) {
          problems.add(
              Problem.of(
                  rest.location(),
                  "range \""
                      + rest.route.name()
                      + "\" at rest, more sensitive than \""
                      + other.route.name()
                      + "\"",
                  "the least sensitive range without relays: at rest it must take any output"));
        }
      }
    }
  }

  private static double fullScale(Placed placed) {
    return placed.route.fullScale() == null ? 0 : placed.route.fullScale().value();
  }

  private void relays() {
    Map<String, Placed> users = new HashMap<>();
    for (Placed placed : all) {
      for (String relay : placed.route.relays()) {
        Placed other = users.putIfAbsent(placed.role.name() + " " + relay, placed);
        if (other != null
            && !other.route.group().equals(placed.route.group())
            && other.family() != placed.family()
            && (isLive(other) || isLive(placed))) {
          problems.add(
              Problem.of(
                  placed.location(),
                  "relay " + relay + " in group " + placed.route.group(),
                  "another relay: group "
                      + other.route.group()
                      + " has this one, and drive, mains and cold share none"));
        }
      }
    }
  }

  private static boolean isLive(Placed placed) {
    return placed.family() == Family.DRIVE
        || placed.family() == Family.MAINS
        || placed.family() == Family.COLD;
  }
}
