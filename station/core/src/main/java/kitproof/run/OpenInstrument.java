package kitproof.run;

import java.time.Duration;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.Callable;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Supplier;
import kitproof.driver.Answer;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.LiveValue;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Reading;
import kitproof.driver.Switcher;
import kitproof.plan.Bench;
import kitproof.value.Signal;
import org.jspecify.annotations.Nullable;

/** An instrument in its role, every call of it made on its own thread and with a deadline. */
final class OpenInstrument {
  private static final int LOSSY_IN_A_ROW = 4;

  private final Bench.Role role;
  private final Instrument instrument;
  private final Declared declared;
  private final InstrumentThread thread;
  private final Deadlines deadlines;
  private final Runnable beat;
  private final Halt halt;
  private final InterlockGuard guard;
  private final Acquaintance acquaintance;
  private final Latest latest;

  /** Captures in a row that have lost samples. */
  private final AtomicInteger lossy = new AtomicInteger();

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
    this.latest = latest;
    this.halt = halt;
    this.guard = guard;
    this.acquaintance = new Acquaintance(guard.clock().nanos());
    this.role = role;
    this.instrument = declared.instrument();
    this.declared = declared;
    this.thread = thread;
    this.deadlines = deadlines;
    this.beat = beat;
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
    if (role.kind() == InstrumentKind.AUDIO_INTERFACE && thread.isBusy()) {
      closeFromHere();
    } else {
      toTheEnd(thread, "make safe", beat, instrument::makeSafe);
    }
  }

  /** Makes a switcher safe for a thread whose waiting is no sign of anybody's life. */
  void makeSafeBeside() throws InstrumentException {
    toTheEnd(thread, "make safe", () -> {}, instrument::makeSafe);
  }

  private void closeFromHere() throws InstrumentException {
    try (InstrumentThread other = new InstrumentThread(role.name())) {
      toTheEnd(other, "close", beat, instrument::close);
    }
  }

  /** Closes; an instrument that is in a call is closed from here, which frees the call. */
  void close() throws InstrumentException {
    try (thread) {
      if (thread.isBusy()) {
        closeFromHere();
      } else {
        toTheEnd(thread, "close", beat, instrument::close);
      }
    }
  }

  private interface Action {
    void run() throws InstrumentException;
  }

  /** For what must be done even by a thread that has been interrupted. */
  private void toTheEnd(InstrumentThread on, String what, Runnable whileWaiting, Action action)
      throws InstrumentException {
    on.callWhenever(
        what,
        deadlines.safe(),
        whileWaiting,
        () -> {
          action.run();
          return true;
        });
  }

  private <T> T call(String what, Duration deadline, Callable<T> call) throws InstrumentException {
    T result = call(what, deadline, beat, call);
    guard.callOver();
    return result;
  }

  private <T> T call(String what, Duration deadline, Runnable whileWaiting, Callable<T> call)
      throws InstrumentException {
    try {
      return thread.call(what, deadline, whileWaiting, call);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, role.name() + ": stopped while it was to " + what, e);
    }
  }

  /** Whether a call is under way. */
  boolean isBusy() {
    return thread.isBusy();
  }

  /** Reads beside the sequence, of whose life this is no sign. */
  Reading readForInterlock(String function) throws InstrumentException {
    Meter meter = (Meter) instrument;
    acquaintance.ifOlder(
        Acquaintance.AMID_READINGS, guard.clock().nanos(), () -> askWhoItIs(() -> {}));
    acquaintance.read();
    return call("read " + function, deadlines.call(), () -> {}, () -> meter.read(function));
  }

  /** The same for the step, whose readings count for interlocks as well. */
  Reading readBeside(String function) throws InstrumentException {
    long began = guard.clock().nanos();
    Reading reading = readForInterlock(function);
    guard.taken(role.name(), function, reading, began);
    guard.callOver();
    return reading;
  }

  /** Before a step uses it: makes sure that it is still the one that was opened. */
  void recogniseBeforeUse() throws InstrumentException {
    acquaintance.ifOlder(Acquaintance.NO_EXCHANGE, guard.clock().nanos(), () -> askWhoItIs(beat));
  }

  /** Before what was read is believed: makes sure that it is still the one that was opened. */
  void recogniseIfRead() throws InstrumentException {
    acquaintance.ifRead(guard.clock().nanos(), () -> askWhoItIs(beat));
  }

  private void askWhoItIs(Runnable whileWaiting) throws InstrumentException {
    call(
        "say who it is",
        deadlines.call(),
        whileWaiting,
        () -> {
          instrument.recognise();
          return true;
        });
  }

  Meter meter() {
    return new GuardedMeter((Meter) instrument);
  }

  Switcher switcher() {
    return new GuardedSwitcher((Switcher) instrument);
  }

  /** The audio interface, with what goes on beside its signals at the moment. */
  AudioInterface audio(Supplier<PlayingBeside> beside) {
    return new GuardedAudio((AudioInterface) instrument, beside);
  }

  Operator operator() {
    return new GuardedOperator((Operator) instrument);
  }

  private abstract class Guarded implements Instrument {
    @Override
    public Identity identity() {
      return declared.identity();
    }

    @Override
    public void makeSafe() throws InstrumentException {
      OpenInstrument.this.makeSafe();
    }

    /** The bench closes its instruments, not the steps. */
    @Override
    public void close() {}
  }

  private final class GuardedMeter extends Guarded implements Meter {
    private final Meter meter;

    GuardedMeter(Meter meter) {
      this.meter = meter;
    }

    @Override
    public List<MeterFunction> functions() {
      return declared.functions();
    }

    @Override
    public Reading read(String function) throws InstrumentException {
      acquaintance.ifOlder(
          Acquaintance.AMID_READINGS, guard.clock().nanos(), () -> askWhoItIs(beat));
      acquaintance.read();
      long began = guard.clock().nanos();
      Reading reading =
          call("read " + function, deadlines.call(), beat, () -> meter.read(function));
      guard.taken(role.name(), function, reading, began);
      guard.callOver();
      return reading;
    }
  }

  private final class GuardedSwitcher extends Guarded implements Switcher {
    private final Switcher switcher;

    GuardedSwitcher(Switcher switcher) {
      this.switcher = switcher;
    }

    @Override
    public void select(String route) throws InstrumentException {
      call(
          "select " + route,
          deadlines.call(),
          () -> {
            halt.check();
            switcher.select(route);
            return true;
          });
    }

    @Override
    public Set<String> closed() throws InstrumentException {
      return thread.callToTheEnd("read its relays back", deadlines.call(), beat, switcher::closed);
    }

    @Override
    public void openAll() throws InstrumentException {
      OpenInstrument.this.makeSafe();
    }
  }

  private final class GuardedOperator extends Guarded implements Operator {
    private final Operator operator;

    GuardedOperator(Operator operator) {
      this.operator = operator;
    }

    @Override
    public void ask(Question question) throws InstrumentException {
      latest.asked(question);
      call(
          "ask",
          deadlines.call(),
          () -> {
            operator.ask(question);
            return true;
          });
    }

    @Override
    public void makeSafe() throws InstrumentException {
      latest.withdrawn();
      super.makeSafe();
    }

    @Override
    public Optional<Answer> answer() throws InstrumentException {
      return call("look for an answer", deadlines.call(), operator::answer);
    }

    @Override
    public void show(LiveValue value) throws InstrumentException {
      latest.shown(value);
      call(
          "show a value",
          deadlines.call(),
          () -> {
            operator.show(value);
            return true;
          });
    }
  }

  /**
   * One capture that has lost samples is taken again, as procedures do. A station that loses some
   * in one after another cannot measure, and that is nothing to blame the unit for.
   */
  private void checkLoss(Capture capture) throws InstrumentException {
    if (!capture.lost()) {
      lossy.set(0);
    } else if (lossy.incrementAndGet() >= LOSSY_IN_A_ROW) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          role.name()
              + ": samples were lost in "
              + LOSSY_IN_A_ROW
              + " captures in a row: the computer is too slow or too busy for its sound");
    }
  }

  private final class GuardedAudio extends Guarded implements AudioInterface {
    private final AudioInterface audio;
    private final Supplier<PlayingBeside> beside;

    GuardedAudio(AudioInterface audio, Supplier<PlayingBeside> beside) {
      this.audio = audio;
      this.beside = beside;
    }

    @Override
    public AudioPorts ports() {
      return Objects.requireNonNull(declared.ports());
    }

    @Override
    public Capture exchange(Signal stimulus) throws InstrumentException {
      Capture capture = played(stimulus, beside.get());
      guard.callOver();
      checkLoss(capture);
      Signal taken = capture.signal();
      if (taken.sampleRateHz() != stimulus.sampleRateHz() || taken.length() != stimulus.length()) {
        throw new InstrumentException(
            InstrumentException.Kind.PROTOCOL,
            role.name()
                + ": a capture of "
                + taken.length()
                + " samples at "
                + taken.sampleRateHz()
                + " Hz came back for a signal of "
                + stimulus.length()
                + " at "
                + stimulus.sampleRateHz()
                + " Hz");
      }
      return capture;
    }

    private Capture played(Signal stimulus, PlayingBeside goingOn) throws InstrumentException {
      Duration signal = Duration.ofNanos(Math.round(stimulus.durationSeconds() * 1e9));
      goingOn.begin(signal);
      Capture capture;
      try {
        capture =
            call(
                "play and capture",
                // Simulated signal time passes at the processor's speed, perhaps slower than real.
                deadlines.call().plus(signal.multipliedBy(4)),
                () -> {
                  beat.run();
                  goingOn.look();
                },
                () -> {
                  halt.check();
                  return audio.exchange(stimulus);
                });
      } catch (InstrumentException e) {
        throw goingOn.brokenOff(e);
      }
      goingOn.end();
      return capture;
    }
  }
}
