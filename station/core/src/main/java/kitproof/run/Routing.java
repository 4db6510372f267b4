package kitproof.run;

import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.Switcher;
import kitproof.interlock.Interlocks;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.plan.PlanStep;
import kitproof.procedure.StationResidual;
import kitproof.procedure.StationSpur;
import kitproof.value.Conditions;
import kitproof.value.Quantity;

/**
 * The only way from the sequence to the relays, which keeps the rules whatever a plan says: drive
 * is muted before anything else changes; drive is connected only with a load read back as
 * connected; full mains only after the supply rise, since mains was off last, has been judged good;
 * mains goes only with drive muted and comes only with the leads for the cold unit off.
 */
final class Routing implements RatedAudio.Loads {
  private final Bench bench;
  private final ChannelRoutes channels;
  private final Selection selection;
  private final RangeRoutes ranges;
  private final SelectedLoads loads;
  private final MainsSwitch mains;
  private final HeatBudget heat;
  private final ApartFromDrive apart;
  private List<Route> ofStep = List.of();
  private boolean driven;

  /** Whether every audio interface has been made silent, and no step has had one since. */
  private volatile boolean silent;

  /** Over this bench, its loads as hot as this says. */
  Routing(Bench bench, OpenBench open, Interlocks interlocks, HeatBudget heat) {
    this(bench, open.switchers(), interlocks, heat);
  }

  /**
   * Over these switchers, with cold loads.
   *
   * @param switchers by role
   */
  Routing(Bench bench, Map<String, Switcher> switchers, Interlocks interlocks) {
    this(bench, switchers, interlocks, new HeatBudget(bench.ratings()));
  }

  private Routing(
      Bench bench, Map<String, Switcher> switchers, Interlocks interlocks, HeatBudget heat) {
    this.bench = bench;
    this.channels = new ChannelRoutes(bench);
    this.heat = heat;
    this.selection = new Selection(bench, switchers);
    this.ranges = new RangeRoutes(bench);
    this.loads = new SelectedLoads(bench, channels, selection);
    this.mains =
        new MainsSwitch(bench, selection, interlocks, this::mute, () -> muteOrSilent(List.of()));
    this.apart = new ApartFromDrive(bench);
  }

  /**
   * From here on the limiter may be taken out, until mains is off: what rises anew is judged anew.
   */
  void riseJudgedGood() {
    mains.riseJudgedGood();
  }

  /** An interface whose signals wait for the loads that this step has selected. */
  AudioInterface rated(AudioInterface audio, RatedAudio.Wait step) {
    silent = false;
    return new RatedAudio(audio, heat, this, bench, step);
  }

  /** An interface whose volts are true ones, as far as the bench is calibrated. */
  AudioInterface corrected(String role, AudioInterface audio) {
    return bench
        .standing()
        .calibration()
        .<AudioInterface>map(
            calibration ->
                new CorrectedAudio(
                    audio, role, calibration, ranges.all(), () -> ranges.now(selection)))
        .orElse(audio);
  }

  /** How the bench is calibrated; empty if it is not. */
  Optional<Calibration> calibration() {
    return bench.standing().calibration();
  }

  /** What the readings of meters are corrected by. */
  Optional<Calibration> meters() {
    return bench.standing().meters();
  }

  /** Whether mains has been on at any moment of this run. */
  boolean mainsHasBeenOn() {
    return mains.hasBeenOn();
  }

  /** Whether mains is off, as far as this has switched it. */
  boolean mainsIsOff() {
    return mains.isOff();
  }

  /** Everything is at rest now, by another's hand. */
  void forget() {
    mains.forget();
    selection.forget();
    driven = false;
    loads.are(List.of());
  }

  /** From any thread: whether every audio interface, one at least, has been made silent. */
  void silenced(boolean all) {
    silent = all;
  }

  /** From any thread, before and after everything is put to rest by another's hand. */
  void released() {
    selection.released();
  }

  /**
   * Selects the routes that a step's conditions want, and those it selects by name; drive stays
   * muted. A step that touches nothing moves no relays for its conditions.
   */
  void prepare(PlanStep step) throws InstrumentException {
    ofStep = List.of();
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
      Route route = selection.selectable(name);
      wanted.put(route.group(), route);
    }
    for (Route route : wanted.values()) {
      mains.requireCold(route);
    }
    ofStep = List.copyOf(wanted.values());
    loads.are(ofStep);
    wanted.values().removeIf(selection::holds);
    if (wanted.isEmpty()) {
      return;
    }
    muteOrSilent(wanted.values());
    for (Route route : wanted.values()) {
      selection.select(route);
    }
  }

  /**
   * Mutes before these routes change. Where a drive path will not open, as one with a welded relay,
   * a meter's leads may move all the same, if nothing is there to drive: mains off as read back,
   * and every audio interface silent. Else the discharge of such a unit could not be measured.
   */
  private void muteOrSilent(Collection<Route> changing) throws InstrumentException {
    try {
      mute();
    } catch (InstrumentException e) {
      boolean still = silent && mains.isOff() && changing.stream().allMatch(apart::isApart);
      if (!still || !mains.isReadBackAsOff()) {
        throw e;
      }
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
      Route route = selection.selectable(name);
      mains.requireCold(route);
      wanted.add(route);
      before.add(selection.inPlaceOf(route));
    }
    boolean wasDriven = driven;
    mute();
    for (Route route : wanted) {
      selection.select(route);
      loads.exchanged(route);
      ofStep = SelectedLoads.inPlace(ofStep, route);
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

  /**
   * The load on a channel's output, as the step selected it; every load is read back as connected.
   *
   * @param channel the channel's name; empty for the only one
   */
  Quantity load(String channel) throws InstrumentException {
    return loads.on(channel);
  }

  /** The loads selected at the moment by channel, nothing read back; without a name the first. */
  Map<String, Quantity> loadsBy(AudioPorts ports) {
    return loads.by(ports);
  }

  /** Connects the drive for these conditions, once every driven output's load is read back. */
  void connectDrive(Conditions conditions) throws InstrumentException {
    for (Conditions one : channels.each(conditions)) {
      var unused = load(one.values().getOrDefault(ChannelRoutes.CHANNEL, ""));
    }
    driven = true;
    for (Route route : channels.drive(conditions)) {
      selection.select(route);
    }
  }

  /** The input range that is selected now; empty on a bench without. */
  String rangeNow() {
    Route now = ranges.now(selection);
    return now == null ? "" : now.name();
  }

  /** The input ranges, the least sensitive first. */
  List<Route> inputRanges() {
    return ranges.all();
  }

  /** Selects an input range with the drive muted meanwhile; a drive that was on comes back. */
  void inputRange(String name, Conditions conditions) throws InstrumentException {
    Route wanted = ranges.named(name);
    if (selection.holdsOrRests(wanted)) {
      return;
    }
    boolean wasDriven = driven;
    mute();
    selection.select(wanted);
    if (wasDriven) {
      connectDrive(conditions);
    }
  }

  /** The loads that are selected now, in the middle of a step too. */
  @Override
  public List<Route> loads() {
    return loads.routes();
  }

  /** What captured volts are multiplied by in the input range that is selected. */
  @Override
  public double inputScale() {
    return ranges.scale(selection);
  }

  /** The most that the load of a route changes per kelvin. */
  Optional<Quantity> loadPerKelvin(String route) {
    return bench.loadPerKelvin(route);
  }

  /** The route of the load on a channel's output; empty if there is none. */
  String loadRoute(String channel) {
    return loads.routeOn(channel);
  }

  /** What the station itself adds, if the bench file says it. */
  Optional<StationResidual> residual() {
    return bench.residual();
  }

  /** Single lines that the station shows without a unit, if the bench file tells them. */
  List<StationSpur> spurs() {
    return bench.spurs();
  }

  /**
   * Disconnects the drive everywhere, as read back: what was muted before may be no more, where a
   * relay is welded or has closed by itself.
   */
  void mute() throws InstrumentException {
    driven = false;
    for (Route route : bench.routes()) {
      if (route.purpose() == Route.Purpose.MUTE) {
        selection.selectOrReadBack(route);
      }
    }
  }

  /**
   * Switches the mains.
   *
   * @param conditions which of several routes, where a bench has them: the number of lamps
   */
  void mains(Route.Purpose purpose, Conditions conditions) throws InstrumentException {
    mains.select(purpose, conditions);
  }

  /**
   * Names of what the relays, as read back, do not show though a reading of the rail relies on it:
   * mains off, and the routes that the step has selected.
   */
  List<String> notAsSelected() throws InstrumentException {
    List<Route> relied = new ArrayList<>(ofStep);
    for (Route route : bench.routes()) {
      if (route.purpose() == Route.Purpose.MAINS_OFF) {
        relied.add(route);
      }
    }
    return selection.notReadBack(relied);
  }

  /** Names of the routes of the safe state that the relays, as read back, do not show. */
  List<String> unsafe() throws InstrumentException {
    return selection.unsafe();
  }
}
