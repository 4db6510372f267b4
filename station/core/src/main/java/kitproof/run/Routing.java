package kitproof.run;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import kitproof.driver.AudioInterface;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.Switcher;
import kitproof.interlock.Interlocks;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.plan.PlanStep;
import kitproof.procedure.StationResidual;
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
  private boolean driven;
  private final HeatBudget heat;
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
    this.heat = new HeatBudget(bench.ratings());
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

  /** An interface whose signals wait for the loads that this step has selected. */
  AudioInterface rated(AudioInterface audio, RunningStep step) {
    return new RatedAudio(audio, heat, this, bench, step);
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
    driven = false;
    loads = List.of();
  }

  /**
   * Selects the routes that a step's conditions want, and those it selects by name; drive stays
   * muted. A step that touches nothing moves no relays for its conditions.
   */
  void prepare(PlanStep step) throws InstrumentException {
    if (!step.outline().touchesNothing() || !step.select().isEmpty()) {
      prepare(step.conditions(), step.select());
    }
  }

  /** Those by name stand in the places of what the conditions want of their groups. */
  private void prepare(Conditions conditions, List<String> byName) throws InstrumentException {
    Map<String, Route> wanted = new LinkedHashMap<>();
    for (Route route : channels.wanted(conditions)) {
      wanted.put(route.group(), route);
    }
    for (String name : byName) {
      Route route = selectable(name);
      wanted.put(route.group(), route);
    }
    for (Route route : wanted.values()) {
      requireCold(route);
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
   * Selects routes by name in the middle of a step, each in the place of what is selected of its
   * group. Drive that is connected is muted first, and connected again with the load read back.
   *
   * @return what stood in their places, to go back with
   */
  List<String> exchange(List<String> byName, Conditions conditions) throws InstrumentException {
    List<String> before = new ArrayList<>();
    List<Route> wanted = new ArrayList<>();
    for (String name : byName) {
      Route route = selectable(name);
      requireCold(route);
      wanted.add(route);
      before.add(inPlaceOf(route));
    }
    boolean wasDriven = driven;
    mute();
    for (Route route : wanted) {
      select(route);
      loads = loads.stream().map(l -> l.group().equals(route.group()) ? route : l).toList();
    }
    if (wasDriven) {
      connectDrive(conditions);
    }
    return before;
  }

  /** The routes' names under these conditions, for each channel that they mean. */
  List<String> named(List<String> routes, Conditions conditions) {
    return channels.each(conditions).stream()
        .flatMap(one -> routes.stream().map(one::fill))
        .distinct()
        .toList();
  }

  /** What is selected of a route's group; at rest that is the one without relays. */
  private String inPlaceOf(Route route) throws InstrumentException {
    String now = selected.get(route.group());
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

  /** A route for the cold unit is not selected once mains has been on. */
  private void requireCold(Route route) throws InstrumentException {
    if (route.purpose() == Route.Purpose.COLD && mainsApplied) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          "\"" + route.name() + "\" is for the cold unit: mains has been on in this run");
    }
  }

  /** A route that a step may select by name. */
  private Route selectable(String name) throws InstrumentException {
    Route route = routes.get(name);
    if (route == null || !ChannelRoutes.isForSteps(route)) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE, "a step cannot select route \"" + name + "\"");
    }
    return route;
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
    driven = true;
    for (Route route : channels.drive(conditions)) {
      select(route);
    }
  }

  /** The input ranges, the least sensitive first. */
  List<Route> inputRanges() {
    return bench.routes().stream()
        .filter(route -> route.purpose() == Route.Purpose.RANGE)
        .sorted(
            Comparator.comparing(
                route -> Objects.requireNonNull(route.fullScale()), Comparator.reverseOrder()))
        .toList();
  }

  /** Selects an input range with the drive muted meanwhile; a drive that was on comes back. */
  void inputRange(String name, Conditions conditions) throws InstrumentException {
    Route wanted =
        inputRanges().stream()
            .filter(route -> route.name().equals(name))
            .findFirst()
            .orElseThrow(
                () ->
                    new InstrumentException(
                        InstrumentException.Kind.RANGE,
                        "the bench has no input range \"" + name + "\""));
    boolean atRest = !selected.containsKey(wanted.group()) && wanted.relays().isEmpty();
    if (atRest || name.equals(selected.get(wanted.group()))) {
      return;
    }
    boolean wasDriven = driven;
    mute();
    select(wanted);
    if (wasDriven) {
      connectDrive(conditions);
    }
  }

  /** The loads that are selected now, in the middle of a step too. */
  List<Route> loads() {
    return loads;
  }

  /** What captured volts are multiplied by in the input range that is selected. */
  double inputScale() {
    List<Route> ranges = inputRanges();
    if (ranges.isEmpty()) {
      return 1;
    }
    Route now =
        ranges.stream()
            .filter(route -> route.name().equals(selected.get(route.group())))
            .findFirst()
            .orElse(ranges.get(0));
    return Objects.requireNonNull(now.fullScale()).value()
        / Objects.requireNonNull(ranges.get(0).fullScale()).value();
  }

  /** What the station itself adds, if the bench file says it. */
  Optional<StationResidual> residual() {
    return bench.residual();
  }

  /** Disconnects the drive everywhere. */
  void mute() throws InstrumentException {
    driven = false;
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
