package kitproof.run;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import kitproof.driver.Route;
import kitproof.plan.Bench;

/**
 * Moves the relays of all boards one at a time, in every order that is possible on the way to the
 * safe state, and looks at each arrangement by rules of its own, which share no code with the
 * station. What may come before what is written down here once more, from {@code SafeKeeper} and
 * {@code RouteSwitcher}.
 */
final class EveryOrder {
  private final Bench bench;

  EveryOrder(Bench bench) {
    this.bench = bench;
  }

  /**
   * What was seen.
   *
   * @param harmful whether any arrangement or movement could do harm
   * @param atOnce whether those from which it began could
   */
  record Found(boolean harmful, boolean atOnce, int arrangements) {}

  /**
   * Which relays are energised, and which of a broken off command are still to move.
   *
   * @param on "role relay"
   */
  private record Now(Set<String> on, Set<String> toMove) {}

  Found from(Wires.Relays from, Wires.Relays lowest, Wires.Relays highest, boolean risen) {
    Set<String> toMove = new TreeSet<>(named(highest));
    toMove.removeAll(named(lowest));
    // The command lets go of them or energises them: from either end.
    Found released = walk(new Now(named(highest), toMove), risen);
    Found made = walk(new Now(named(lowest), toMove), risen);
    return new Found(
        released.harmful || made.harmful,
        released.atOnce || made.atOnce,
        released.arrangements + made.arrangements);
  }

  private Set<String> named(Wires.Relays relays) {
    Set<String> all = new TreeSet<>();
    relays.byRole().forEach((role, some) -> some.forEach(relay -> all.add(role + " " + relay)));
    return all;
  }

  private Found walk(Now start, boolean risen) {
    Set<Now> seen = new HashSet<>(Set.of(start));
    Deque<Now> open = new ArrayDeque<>(seen);
    boolean harmful = isHarmful(start.on, risen);
    boolean atOnce = harmful;
    while (!open.isEmpty() && !harmful) {
      Now now = open.remove();
      for (String relay : mayMove(now)) {
        Set<String> on = new TreeSet<>(now.on);
        Set<String> toMove = new TreeSet<>(now.toMove);
        boolean driven = isDriven(on) && carriesLoad(relay);
        if (!on.remove(relay)) {
          on.add(relay);
        }
        toMove.remove(relay);
        harmful |= driven || isHarmful(on, risen);
        Now next = new Now(on, toMove);
        if (seen.add(next)) {
          open.add(next);
        }
      }
    }
    return new Found(harmful, atOnce, seen.size());
  }

  private List<String> mayMove(Now now) {
    List<String> may = new ArrayList<>(now.toMove);
    for (Bench.Role role : bench.roles().values()) {
      if (now.toMove.stream().anyMatch(relay -> relay.startsWith(role.name() + " "))) {
        continue; // its safe state queues behind the command that is under way
      }
      List<String> drive = energised(now, role, Set.of(Route.Purpose.MUTE, Route.Purpose.DRIVE));
      List<String> mains =
          energised(
              now,
              role,
              Set.of(
                  Route.Purpose.MAINS_OFF,
                  Route.Purpose.MAINS_LIMITED,
                  Route.Purpose.MAINS_DIRECT));
      List<String> rest = energised(now, role, Set.of(Route.Purpose.values()));
      boolean waits =
          has(role, Route.Purpose.LOAD)
              && !has(role, Route.Purpose.DRIVE)
              && bench.roles().values().stream()
                  .filter(other -> has(other, Route.Purpose.DRIVE))
                  .anyMatch(other -> isNotDone(now, other));
      if (!drive.isEmpty()) {
        may.addAll(drive);
      } else if (!mains.isEmpty()) {
        may.addAll(mains);
      } else if (!waits) {
        may.addAll(rest);
      }
    }
    return may;
  }

  private boolean isNotDone(Now now, Bench.Role role) {
    return !energised(now, role, Set.of(Route.Purpose.values())).isEmpty()
        || now.toMove.stream().anyMatch(relay -> relay.startsWith(role.name() + " "));
  }

  private static List<String> energised(Now now, Bench.Role role, Set<Route.Purpose> purposes) {
    return relays(role, purposes).stream().filter(now.on::contains).toList();
  }

  private static Set<String> relays(Bench.Role role, Set<Route.Purpose> purposes) {
    Set<String> relays = new TreeSet<>();
    for (Route route : role.routes()) {
      if (purposes.contains(route.purpose())) {
        route.relays().forEach(relay -> relays.add(role.name() + " " + relay));
      }
    }
    return relays;
  }

  private static boolean has(Bench.Role role, Route.Purpose purpose) {
    return role.routes().stream().anyMatch(route -> route.purpose() == purpose);
  }

  private boolean isDriven(Set<String> on) {
    return bench.roles().values().stream()
        .flatMap(role -> relays(role, Set.of(Route.Purpose.DRIVE)).stream())
        .anyMatch(on::contains);
  }

  private boolean carriesLoad(String relay) {
    return bench.roles().values().stream()
        .anyMatch(role -> relays(role, Set.of(Route.Purpose.LOAD)).contains(relay));
  }

  private boolean isHarmful(Set<String> on, boolean risen) {
    boolean loads = bench.routes().stream().anyMatch(r -> r.purpose() == Route.Purpose.LOAD);
    boolean unloaded = !loads;
    for (Bench.Role role : bench.roles().values()) {
      for (Route one : role.routes()) {
        unloaded |= one.purpose() == Route.Purpose.LOAD && !isLoaded(role, one.group(), on);
      }
    }
    return (isDriven(on) && unloaded) || (!risen && isAroundTheLimiter(on));
  }

  /** The relays of the group that are energised are just those of one of its loads. */
  private static boolean isLoaded(Bench.Role role, String group, Set<String> on) {
    Set<String> now = new TreeSet<>();
    List<Route> loads = role.routes().stream().filter(r -> r.group().equals(group)).toList();
    loads.forEach(load -> now.addAll(load.relays()));
    now.removeIf(relay -> !on.contains(role.name() + " " + relay));
    return loads.stream().anyMatch(load -> Set.copyOf(load.relays()).equals(now));
  }

  /** The direct way is closed, and not by the lamps in series with it. */
  private boolean isAroundTheLimiter(Set<String> on) {
    boolean direct = false;
    boolean lamps = false;
    for (Bench.Role role : bench.roles().values()) {
      int shorter = relays(role, Set.of(Route.Purpose.MAINS_DIRECT)).size();
      for (Route route : role.routes()) {
        boolean closed =
            !route.relays().isEmpty()
                && route.relays().stream().allMatch(r -> on.contains(role.name() + " " + r));
        direct |= route.purpose() == Route.Purpose.MAINS_DIRECT && closed;
        lamps |=
            route.purpose() == Route.Purpose.MAINS_LIMITED
                && closed
                && route.relays().size() > shorter;
      }
    }
    return direct && !lamps;
  }
}
