package kitproof.run;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.Switcher;
import kitproof.interlock.Interlocks;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.value.Conditions;
import kitproof.value.Quantity;

/**
 * The only way from the sequence to the relays, which keeps the rules whatever a plan says: drive
 * is muted before anything else changes; drive is connected only with a load read back as
 * connected; full mains only after the supply rise has been judged good; mains goes only with drive
 * muted and comes only with the leads for the cold unit off.
 */
final class Routing {
  private final Bench bench;
  private final ChannelRoutes channels;
  private final Map<String, Switcher> switcherOf = new HashMap<>();
  private final Map<String, Route> routes = new HashMap<>();
  private final Map<String, String> selected = new HashMap<>();
  private List<Route> loads = List.of();
  private final Interlocks interlocks;
  private boolean riseJudgedGood;
  private boolean mainsApplied;
  private boolean mainsOff = true;

  Routing(Bench bench, OpenBench open, Interlocks interlocks) {
    this(bench, open.switchers(), interlocks);
  }

  /**
   * Over these switchers.
   *
   * @param switchers by role
   */
  Routing(Bench bench, Map<String, Switcher> switchers, Interlocks interlocks) {
    this.bench = bench;
    this.interlocks = interlocks;
    this.channels = new ChannelRoutes(bench);
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

  /** From here on the limiter may be taken out. */
  void riseJudgedGood() {
    riseJudgedGood = true;
  }

  /** Whether mains has been on at any moment of this run. */
  boolean mainsHasBeenOn() {
    return mainsApplied;
  }

  /** Whether mains is off, as far as this has switched it. */
  boolean mainsIsOff() {
    return mainsOff;
  }

  /** Everything is at rest now, by another's hand. */
  void forget() {
    mainsOff = true;
    selected.clear();
    loads = List.of();
  }

  /**
   * Selects the routes that these conditions want, and these by name; drive stays muted.
   *
   * @param byName each in the place of what the conditions want of its group
   */
  void prepare(Conditions conditions, List<String> byName) throws InstrumentException {
    Map<String, Route> wanted = new LinkedHashMap<>();
    for (Route route : channels.wanted(conditions)) {
      wanted.put(route.group(), route);
    }
    for (String name : byName) {
      Route route = routes.get(name);
      if (route == null || ChannelRoutes.carriesDriveOrMains(route)) {
        throw new InstrumentException(
            InstrumentException.Kind.RANGE, "a step cannot select route \"" + name + "\"");
      }
      wanted.put(route.group(), route);
    }
    for (Route route : wanted.values()) {
      if (route.purpose() == Route.Purpose.COLD && mainsApplied) {
        throw new InstrumentException(
            InstrumentException.Kind.OTHER,
            "\"" + route.name() + "\" is for the cold unit: mains has been on in this run");
      }
    }
    loads = wanted.values().stream().filter(r -> r.purpose() == Route.Purpose.LOAD).toList();
    wanted.values().removeIf(route -> route.name().equals(selected.get(route.group())));
    if (wanted.isEmpty()) {
      return;
    }
    mute();
    for (Route route : wanted.values()) {
      select(route);
    }
  }

  /**
   * The load on a channel's output, as the step selected it; every load is read back as connected.
   *
   * @param channel the channel's name; empty for the only one
   */
  Quantity load(String channel) throws InstrumentException {
    for (Route route : loads) {
      if (!switcher(route).closed().contains(route.name())) {
        throw unloaded("load \"" + route.name() + "\" is not read back as connected");
      }
    }
    for (Route route : loads) {
      String on = channels.channelOf(route);
      if (channel.isEmpty() || on.isEmpty() || on.equals(channel)) {
        return Objects.requireNonNull(route.load());
      }
    }
    String which = channel.isEmpty() ? "" : " for channel " + channel;
    return bench.fixedLoad().orElseThrow(() -> unloaded("the step selects no load" + which));
  }

  private static InstrumentException unloaded(String why) {
    return new InstrumentException(
        InstrumentException.Kind.OTHER, why + ": an output without load is not driven");
  }

  /** Connects the drive for these conditions, once every driven output's load is read back. */
  void connectDrive(Conditions conditions) throws InstrumentException {
    for (Conditions one : channels.each(conditions)) {
      var unused = load(one.values().getOrDefault(ChannelRoutes.CHANNEL, ""));
    }
    for (Route route : channels.drive(conditions)) {
      select(route);
    }
  }

  /** Disconnects the drive everywhere. */
  void mute() throws InstrumentException {
    for (Route route : bench.routes()) {
      if (route.purpose() == Route.Purpose.MUTE
          && !route.name().equals(selected.get(route.group()))) {
        select(route);
      }
    }
  }

  /**
   * Switches the mains.
   *
   * @param conditions which of several routes, where a bench has them: the number of lamps
   */
  void mains(Route.Purpose purpose, Conditions conditions) throws InstrumentException {
    Route route =
        MainsRoute.of(bench, purpose, conditions)
            .orElseThrow(
                () ->
                    new InstrumentException(
                        InstrumentException.Kind.RANGE, "the bench has no route for " + purpose));
    if (route.name().equals(selected.get(route.group()))) {
      return;
    }
    if (purpose == Route.Purpose.MAINS_DIRECT && !riseJudgedGood) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          "the limiter stays in: no supply rise has been judged good in this run");
    }
    mute();
    if (purpose == Route.Purpose.MAINS_OFF) {
      select(route);
      mainsOff = true;
      interlocks.enter(situation -> situation.with(purpose));
      return;
    }
    takeColdLeadsOff();
    mainsApplied = true;
    mainsOff = false;
    interlocks.enter(situation -> situation.with(purpose));
    select(route);
  }

  /** What measures the cold unit is off it, as read back, before mains comes. */
  private void takeColdLeadsOff() throws InstrumentException {
    for (Route route : bench.routes()) {
      if (route.purpose() == Route.Purpose.COLD && route.relays().isEmpty()) {
        select(route);
        if (!switcher(route).closed().contains(route.name())) {
          throw new InstrumentException(
              InstrumentException.Kind.PROTOCOL,
              "no mains: the leads for the cold unit are not read back as off");
        }
      }
    }
  }

  /** Names of the routes of the safe state that the relays, as read back, do not show. */
  List<String> unsafe() throws InstrumentException {
    List<String> unsafe = new ArrayList<>();
    Map<Switcher, Set<String>> closed = new HashMap<>();
    for (Route route : bench.routes()) {
      if (route.purpose() == Route.Purpose.MUTE || route.purpose() == Route.Purpose.MAINS_OFF) {
        Switcher switcher = switcher(route);
        if (!closed.containsKey(switcher)) {
          closed.put(switcher, switcher.closed());
        }
        if (!closed.get(switcher).contains(route.name())) {
          unsafe.add(route.name());
        }
      }
    }
    return unsafe;
  }

  private void select(Route route) throws InstrumentException {
    selected.remove(route.group());
    switcher(route).select(route.name());
    selected.put(route.group(), route.name());
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
