package kitproof.run;

import java.util.List;
import java.util.function.Supplier;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.Identity;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Operator;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.driver.Switcher;
import kitproof.plan.Bench;
import org.jspecify.annotations.Nullable;

/**
 * An instrument in its role. Steps get it as its kind, guarded: every call is made as {@link
 * InstrumentCalls} makes them.
 */
final class OpenInstrument {
  private final Bench.Role role;
  private final Declared declared;
  private final InstrumentCalls calls;
  private final Acquaintance acquaintance;
  private final Guarded guarded;
  private volatile boolean held;

  /**
   * An instrument with what it says of itself, asked once, when it was opened.
   *
   * @param functions of a meter; else empty
   * @param ports of an audio interface; else null
   */
  record Declared(
      Instrument instrument,
      Identity identity,
      List<MeterFunction> functions,
      @Nullable AudioPorts ports) {
    static Declared of(Instrument instrument) {
      return new Declared(
          instrument,
          instrument.identity(),
          instrument instanceof Meter meter ? meter.functions() : List.of(),
          instrument instanceof AudioInterface audio ? audio.ports() : null);
    }
  }

  OpenInstrument(
      Bench.Role role,
      Declared declared,
      InstrumentThread thread,
      Deadlines deadlines,
      Runnable beat,
      Halt halt,
      InterlockGuard guard,
      Latest latest) {
    this.role = role;
    this.declared = declared;
    this.calls = new InstrumentCalls(role.name(), thread, deadlines, beat, guard);
    this.acquaintance = new Acquaintance(guard.clock().nanos());
    this.guarded =
        switch (role.kind()) {
          case METER -> new GuardedMeter(this, declared, calls, acquaintance);
          case SWITCHER -> new GuardedSwitcher(this, declared, calls, halt);
          case AUDIO_INTERFACE -> new GuardedAudio(this, declared, calls, halt);
          case OPERATOR -> new GuardedOperator(this, declared, calls, latest);
        };
  }

  Bench.Role role() {
    return role;
  }

  Identity identity() {
    return declared.identity();
  }

  /**
   * Makes it safe. An audio interface in the middle of a signal is closed, which ends the signal at
   * once; the rest of the run does without it.
   */
  void makeSafe() throws InstrumentException {
    if (role.kind() == InstrumentKind.AUDIO_INTERFACE && calls.isBusy()) {
      calls.toTheEndFromHere("close", declared.instrument()::close);
    } else {
      calls.toTheEnd("make safe", declared.instrument()::makeSafe);
    }
  }

  /** The same for a thread whose waiting is no sign of anybody's life. */
  void makeSafeBeside() throws InstrumentException {
    held = false;
    if (role.kind() == InstrumentKind.AUDIO_INTERFACE && calls.isBusy()) {
      calls.toTheEndFromHereBeside("close", declared.instrument()::close);
    } else {
      calls.toTheEndBeside("make safe", declared.instrument()::makeSafe);
    }
  }

  /** Takes the mains off and leaves everything else of a switcher as it is, likewise. */
  void takeMainsOffBeside() throws InstrumentException {
    Switcher switcher = (Switcher) declared.instrument();
    for (Route route : role.routes()) {
      if (route.purpose() == Route.Purpose.MAINS_OFF) {
        calls.toTheEndBeside("take the mains off", () -> switcher.select(route.name()));
      }
    }
  }

  /**
   * From here on it is left as it is until it is made safe or closed: the outputs of whoever may
   * still be driven keep their loads.
   */
  void hold() {
    held = true;
  }

  /** Whether it is to be left as it is until the drive is known to be off. */
  boolean isHeld() {
    return held;
  }

  /** Takes no more calls, and leaves relays and driver as they are to the end of the program. */
  void leave() {
    calls.end();
  }

  /** Closes; an instrument that is in a call is closed from here, which frees the call. */
  void close() throws InstrumentException {
    try {
      if (calls.isBusy()) {
        calls.toTheEndFromHere("close", declared.instrument()::close);
      } else {
        calls.toTheEnd("close", declared.instrument()::close);
      }
    } finally {
      calls.end();
    }
  }

  /** Whether a call is under way, be it one that will never come back. */
  boolean isBusy() {
    return calls.isBusy();
  }

  /** Whether a call is under way for whose end one may wait. */
  boolean isInCall() {
    return calls.isInCall();
  }

  /** Reads beside the sequence, of whose life this is no sign. */
  Reading readForInterlock(String function) throws InstrumentException {
    Meter meter = (Meter) declared.instrument();
    acquaintance.ifOlder(
        Acquaintance.AMID_READINGS,
        calls.nanos(),
        () -> calls.callBeside(Guarded.WHO_IT_IS, guarded.recognising()));
    acquaintance.read();
    return calls.callBeside("read " + function, () -> meter.read(function));
  }

  /** Looks at a switcher beside the sequence: whether it answers and is as it was left. */
  void look() throws InstrumentException {
    calls.callBesideInTime(
        "say how its relays are", BoardLooks.patience(role), guarded.recognising());
  }

  /** The same for the step, whose readings count for interlocks as well. */
  Reading readBeside(String function) throws InstrumentException {
    long began = calls.nanos();
    Reading reading = readForInterlock(function);
    calls.taken(function, reading, began);
    return reading;
  }

  /** Before a step uses it: makes sure that it is still the one that was opened. */
  void recogniseBeforeUse() throws InstrumentException {
    acquaintance.ifOlder(Acquaintance.NO_EXCHANGE, calls.nanos(), guarded::recognise);
  }

  /** Before what was read is believed: makes sure that it is still the one that was opened. */
  void recogniseIfRead() throws InstrumentException {
    acquaintance.ifRead(calls.nanos(), guarded::recognise);
  }

  /** Makes sure that it is still the one that was opened, and as it was left. */
  void recognise() throws InstrumentException {
    acquaintance.ask(calls.nanos(), guarded::recognise);
  }

  Meter meter() {
    return (Meter) guarded;
  }

  /** A meter whose readings can be given a time. */
  GuardedMeter guardedMeter() {
    return (GuardedMeter) guarded;
  }

  Switcher switcher() {
    return (Switcher) guarded;
  }

  /** The audio interface, with what goes on beside its signals at the moment. */
  AudioInterface audio(Supplier<PlayingBeside> beside) {
    return ((GuardedAudio) guarded).with(beside);
  }

  Operator operator() {
    return (Operator) guarded;
  }
}
