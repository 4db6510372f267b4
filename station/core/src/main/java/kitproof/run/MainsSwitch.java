package kitproof.run;

import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.interlock.Interlocks;
import kitproof.plan.Bench;
import kitproof.value.Conditions;

/**
 * The mains of one run: full mains only after the supply rise has been judged good; mains goes only
 * with drive muted, and comes only with the leads for the cold unit off.
 */
final class MainsSwitch {
  private final Bench bench;
  private final Selection selection;
  private final Interlocks interlocks;
  private final InstrumentCalls.Action mute;
  private final InstrumentCalls.Action muteOrSilent;
  private boolean riseJudgedGood;
  private boolean applied;
  private volatile boolean off = true;

  /**
   * With the mains off.
   *
   * @param mute disconnects the drive everywhere
   * @param muteOrSilent the same, or makes sure that nothing plays and the mains is off already
   */
  MainsSwitch(
      Bench bench,
      Selection selection,
      Interlocks interlocks,
      InstrumentCalls.Action mute,
      InstrumentCalls.Action muteOrSilent) {
    this.bench = bench;
    this.selection = selection;
    this.interlocks = interlocks;
    this.mute = mute;
    this.muteOrSilent = muteOrSilent;
  }

  /**
   * From here on the limiter may be taken out, until mains is off: what rises anew is judged anew.
   */
  void riseJudgedGood() {
    riseJudgedGood = true;
  }

  /** Whether mains has been on at any moment of this run. */
  boolean hasBeenOn() {
    return applied;
  }

  /** Whether mains is off, as far as this has switched it. */
  boolean isOff() {
    return off;
  }

  /** Whether the relays say so too. */
  boolean isReadBackAsOff() throws InstrumentException {
    for (Route route : bench.routes()) {
      if (route.purpose() == Route.Purpose.MAINS_OFF && !selection.isReadBack(route)) {
        return false;
      }
    }
    return true;
  }

  /** It is off now, by another's hand. */
  void forget() {
    off = true;
    riseJudgedGood = false;
  }

  /** A route for the cold unit is not selected once mains has been on. */
  void requireCold(Route route) throws InstrumentException {
    if (route.purpose() == Route.Purpose.COLD && applied) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          "\"" + route.name() + "\" is for the cold unit: mains has been on in this run");
    }
  }

  /**
   * Switches the mains.
   *
   * @param conditions which of several routes, where a bench has them: the number of lamps
   */
  void select(Route.Purpose purpose, Conditions conditions) throws InstrumentException {
    Route route =
        MainsRoute.of(bench, purpose, conditions)
            .orElseThrow(
                () ->
                    new InstrumentException(
                        InstrumentException.Kind.RANGE, "the bench has no route for " + purpose));
    if (selection.holds(route)) {
      return;
    }
    if (purpose == Route.Purpose.MAINS_DIRECT && !riseJudgedGood) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          "the limiter stays in: no supply rise has been judged good since mains was off");
    }
    if (purpose == Route.Purpose.MAINS_OFF) {
      muteOrSilent.run();
      selection.select(route);
      off = true;
      riseJudgedGood = false;
      interlocks.enter(situation -> situation.with(purpose));
      return;
    }
    mute.run();
    takeColdLeadsOff();
    applied = true;
    off = false;
    interlocks.enter(situation -> situation.with(purpose));
    selection.select(route);
  }

  /** What measures the cold unit is off it, as read back, before mains comes. */
  private void takeColdLeadsOff() throws InstrumentException {
    for (Route route : bench.routes()) {
      if (route.purpose() == Route.Purpose.COLD && route.relays().isEmpty()) {
        selection.select(route);
        if (!selection.isReadBack(route)) {
          throw new InstrumentException(
              InstrumentException.Kind.PROTOCOL,
              "no mains: the leads for the cold unit are not read back as off");
        }
      }
    }
  }
}
