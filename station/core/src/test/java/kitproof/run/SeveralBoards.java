package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.TimeKind;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** Small benches made by chance: drives, loads and mains, spread over some boards. */
final class SeveralBoards {
  private final Random random;
  private int relay;

  SeveralBoards(Random random) {
    this.random = random;
  }

  private boolean chance(double p) {
    return random.nextDouble() < p;
  }

  private String next() {
    return "K" + ++relay;
  }

  /** With so many boards, in an order made by chance. */
  Bench bench(int boards) {
    int mains = random.nextInt(boards);
    Map<String, Bench.Role> roles = new LinkedHashMap<>();
    for (int board = 0; board < boards; board++) {
      List<Route> routes = new ArrayList<>();
      relay = 0;
      if (chance(0.6)) {
        drive("drive " + board, routes);
      }
      if (chance(0.6)) {
        loads("load " + board, routes);
      }
      if (board == mains) {
        mains(routes);
      }
      if (routes.isEmpty()) {
        routes.add(route("mode " + board, "mode", Route.Purpose.OTHER, next()));
      }
      String name = "board " + board;
      roles.put(
          name,
          new Bench.Role(name, "made", InstrumentKind.SWITCHER, nowhere(), routes, nowhere()));
    }
    return new Bench(
        "made",
        "shop",
        "bench",
        TimeKind.SIMULATED,
        Optional.empty(),
        Optional.empty(),
        Map.of(),
        roles,
        nowhere());
  }

  private void drive(String group, List<Route> routes) {
    routes.add(route(group + " muted", group, Route.Purpose.MUTE));
    for (int i = 0; i <= random.nextInt(2); i++) {
      routes.add(route(group + " on " + i, group, Route.Purpose.DRIVE, next()));
    }
  }

  /** At rest on a load, rarely not; another one by one relay or two. */
  private void loads(String group, List<Route> routes) {
    if (chance(0.9)) {
      routes.add(route(group + " at rest", group, Route.Purpose.LOAD));
    }
    String one = next();
    routes.add(
        chance(0.5)
            ? route(group + " by one", group, Route.Purpose.LOAD, one)
            : route(group + " by two", group, Route.Purpose.LOAD, one, next()));
  }

  /** The limiter bridged, or in series. */
  private void mains(List<Route> routes) {
    String on = next();
    String other = next();
    boolean series = chance(0.3);
    routes.add(route("mains off", "mains", Route.Purpose.MAINS_OFF));
    String[] one = {on};
    String[] both = {on, other};
    routes.add(route("limited", "mains", Route.Purpose.MAINS_LIMITED, series ? both : one));
    routes.add(route("direct", "mains", Route.Purpose.MAINS_DIRECT, series ? one : both));
  }

  private static Route route(String name, String group, Route.Purpose purpose, String... relays) {
    Quantity load = purpose == Route.Purpose.LOAD ? Quantity.of(8, Unit.OHM) : null;
    return new Route(
        name, group, List.of(relays), Duration.ofMillis(20), purpose, Conditions.NONE, load);
  }

  private static Node.Mapping nowhere() {
    return new Node.Mapping(new Location("made.yaml", 1, 1), List.of());
  }
}
