package kitproof.run;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.atomic.AtomicInteger;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.Switcher;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import org.jspecify.annotations.Nullable;

/**
 * A bench's routes over its switchers, and which of each group has been selected. It knows no rule
 * of what may follow what: {@link Routing} does.
 */
final class Selection {
  private final Bench bench;
  private final Map<String, Switcher> switcherOf = new HashMap<>();
  private final Map<String, Route> routes = new HashMap<>();
  private final Map<String, Choice> selected = new HashMap<>();
  private final AtomicInteger releases = new AtomicInteger();

  /** What was selected of a group, and how often all had been released before that. */
  private record Choice(String route, int release) {}

  /**
   * Over these switchers; nothing has been selected yet.
   *
   * @param switchers by role
   */
  Selection(Bench bench, Map<String, Switcher> switchers) {
    this.bench = bench;
    for (Bench.Role role : bench.roles().values()) {
      Switcher switcher = switchers.get(role.name());
      if (switcher != null) {
        for (Route route : role.routes()) {
          switcherOf.put(route.name(), switcher);
          routes.put(route.name(), route);
        }
      }
    }
  }

  /** Everything is at rest now, by another's hand. */
  void forget() {
    selected.clear();
  }

  /**
   * From any thread: everything is being released by another's hand. To be said before and after,
   * so that what is selected meanwhile is not believed either.
   */
  void released() {
    releases.incrementAndGet();
  }

  void select(Route route) throws InstrumentException {
    selected.remove(route.group());
    int release = releases.get();
    switcher(route).select(route.name());
    selected.put(route.group(), new Choice(route.name(), release));
  }

  /**
   * Selects it; where it is selected already, makes sure that the relays still show it.
   *
   * @throws InstrumentException PROTOCOL if they do not
   */
  void selectOrReadBack(Route route) throws InstrumentException {
    if (!holds(route)) {
      select(route);
    } else if (!isReadBack(route)) {
      selected.remove(route.group());
      switcher(route).recognise(); // which may tell the relay
      throw new InstrumentException(
          InstrumentException.Kind.PROTOCOL,
          "\"" + route.name() + "\" is not what the relays are read back as any more");
    }
  }

  private @Nullable String now(String group) {
    Choice choice = selected.get(group);
    return choice == null || choice.release != releases.get() ? null : choice.route;
  }

  /** Whether this route is the one of its group that was selected last. */
  boolean holds(Route route) {
    return route.name().equals(now(route.group()));
  }

  /** Whether this route is the one of its group that is selected, be it because of all at rest. */
  boolean holdsOrRests(Route route) {
    return holds(route) || (now(route.group()) == null && route.relays().isEmpty());
  }

  /** Whether the relays, as read back, show this route. */
  boolean isReadBack(Route route) throws InstrumentException {
    return switcher(route).closed().contains(route.name());
  }

  /** What is selected of a route's group; at rest that is the one without relays. */
  String inPlaceOf(Route route) throws InstrumentException {
    String now = now(route.group());
    if (now != null) {
      return now;
    }
    return bench.routes().stream()
        .filter(r -> r.group().equals(route.group()) && r.relays().isEmpty())
        .map(Route::name)
        .findFirst()
        .orElseThrow(
            () ->
                new InstrumentException(
                    InstrumentException.Kind.RANGE,
                    "nothing to go back to from route \"" + route.name() + "\""));
  }

  /** A route that a step may select by name. */
  Route selectable(String name) throws InstrumentException {
    Route route = routes.get(name);
    if (route == null || !ChannelRoutes.isForSteps(route)) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE, "a step cannot select route \"" + name + "\"");
    }
    return route;
  }

  /** Names of the routes of the safe state that the relays, as read back, do not show. */
  List<String> unsafe() throws InstrumentException {
    return notReadBack(
        bench.routes().stream()
            .filter(
                r -> r.purpose() == Route.Purpose.MUTE || r.purpose() == Route.Purpose.MAINS_OFF)
            .toList());
  }

  /** Names of those of these routes that the relays, as read back, do not show. */
  List<String> notReadBack(List<Route> wanted) throws InstrumentException {
    List<String> missing = new ArrayList<>();
    Map<Switcher, Set<String>> closed = new HashMap<>();
    for (Route route : wanted) {
      Switcher switcher = switcher(route);
      if (!closed.containsKey(switcher)) {
        closed.put(switcher, switcher.closed());
      }
      if (!closed.get(switcher).contains(route.name())) {
        missing.add(route.name());
      }
    }
    return missing;
  }

  private Switcher switcher(Route route) throws InstrumentException {
    Switcher switcher = switcherOf.get(route.name());
    if (switcher == null) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE, "the bench has no route \"" + route.name() + "\"");
    }
    return switcher;
  }
}
