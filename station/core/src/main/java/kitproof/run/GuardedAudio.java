package kitproof.run;

import java.time.Duration;
import java.util.Objects;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Supplier;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.value.Signal;

/** An audio interface whose captures are looked at before anybody makes a figure of them. */
final class GuardedAudio extends Guarded implements AudioInterface {
  private static final int LOSSY_IN_A_ROW = 4;

  private final AudioInterface audio;
  private final AudioPorts ports;
  private final InstrumentCalls calls;
  private final Halt halt;

  /** Captures in a row that have lost samples. */
  private final AtomicInteger lossy = new AtomicInteger();

  GuardedAudio(
      OpenInstrument open, OpenInstrument.Declared declared, InstrumentCalls calls, Halt halt) {
    super(open, declared, calls);
    this.audio = (AudioInterface) declared.instrument();
    this.ports = Objects.requireNonNull(declared.ports());
    this.calls = calls;
    this.halt = halt;
  }

  @Override
  public AudioPorts ports() {
    return ports;
  }

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    return exchange(stimulus, PlayingBeside.NOTHING);
  }

  @Override
  public void rest() throws InstrumentException {
    var unused = calls.call("rest", InstrumentCalls.done(audio::rest));
  }

  /** The same interface with what goes on beside its signals at the moment. */
  AudioInterface with(Supplier<PlayingBeside> beside) {
    return new Accompanied(this, beside);
  }

  private Capture exchange(Signal stimulus, PlayingBeside goingOn) throws InstrumentException {
    Capture capture = played(stimulus, goingOn);
    checkLoss(capture);
    checkShape(capture.signal(), stimulus);
    return capture;
  }

  private Capture played(Signal stimulus, PlayingBeside goingOn) throws InstrumentException {
    Duration signal = Duration.ofNanos(Math.round(stimulus.durationSeconds() * 1e9));
    goingOn.begin(signal);
    Capture capture;
    try {
      capture =
          calls.callMeanwhile(
              "play and capture",
              // Simulated signal time passes at the processor's speed, perhaps slower than real.
              signal.multipliedBy(4),
              goingOn::look,
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
          calls.role()
              + ": samples were lost in "
              + LOSSY_IN_A_ROW
              + " captures in a row: the computer is too slow or too busy for its sound");
    }
  }

  private void checkShape(Signal taken, Signal stimulus) throws InstrumentException {
    if (taken.sampleRateHz() != stimulus.sampleRateHz() || taken.length() != stimulus.length()) {
      throw new InstrumentException(
          InstrumentException.Kind.PROTOCOL,
          calls.role()
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
  }

  /** This interface for a step that may do something while its signals play. */
  private static final class Accompanied extends PassedOnAudio {
    private final GuardedAudio guarded;
    private final Supplier<PlayingBeside> beside;

    Accompanied(GuardedAudio guarded, Supplier<PlayingBeside> beside) {
      super(guarded);
      this.guarded = guarded;
      this.beside = beside;
    }

    @Override
    public Capture exchange(Signal stimulus) throws InstrumentException {
      return guarded.exchange(stimulus, beside.get());
    }
  }
}
