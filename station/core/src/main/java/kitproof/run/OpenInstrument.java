package kitproof.run;

import java.time.Duration;
import java.util.List;
import java.util.Set;
import java.util.concurrent.Callable;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Reading;
import kitproof.driver.Switcher;
import kitproof.plan.Bench;
import kitproof.value.Signal;

/** An instrument in its role, every call of it made on its own thread and with a deadline. */
final class OpenInstrument {
  private final Bench.Role role;
  private final Instrument instrument;
  private final InstrumentThread thread;
  private final Deadlines deadlines;
  private final Runnable beat;
  private final Halt halt;

  OpenInstrument(
      Bench.Role role,
      Instrument instrument,
      InstrumentThread thread,
      Deadlines deadlines,
      Runnable beat,
      Halt halt) {
    this.halt = halt;
    this.role = role;
    this.instrument = instrument;
    this.thread = thread;
    this.deadlines = deadlines;
    this.beat = beat;
  }

  Bench.Role role() {
    return role;
  }

  Identity identity() throws InstrumentException {
    return call("identify", deadlines.call(), instrument::identity);
  }

  /**
   * Makes it safe. An audio interface in the middle of a signal is closed, which ends the signal at
   * once; the rest of the run does without it.
   */
  void makeSafe() throws InstrumentException {
    if (role.kind() == InstrumentKind.AUDIO_INTERFACE && thread.isBusy()) {
      closeFromHere();
      return;
    }
    callWithin(
        "make safe",
        deadlines.safe(),
        () -> {
          instrument.makeSafe();
          return true;
        });
  }

  /** Closes; an instrument that is in a call is closed from here, which frees the call. */
  void close() throws InstrumentException {
    try {
      if (thread.isBusy()) {
        closeFromHere();
      } else {
        closeOn(thread);
      }
    } finally {
      thread.close();
    }
  }

  private void closeFromHere() throws InstrumentException {
    InstrumentThread other = new InstrumentThread(role.name() + "-close");
    try {
      closeOn(other);
    } finally {
      other.close();
    }
  }

  private void closeOn(InstrumentThread on) throws InstrumentException {
    boolean interrupted = Thread.interrupted();
    try {
      on.call(
          "close",
          deadlines.safe(),
          beat,
          () -> {
            instrument.close();
            return true;
          });
    } catch (InterruptedException e) {
      interrupted = true;
    } finally {
      if (interrupted) {
        Thread.currentThread().interrupt();
      }
    }
  }

  private <T> T call(String what, Duration deadline, Callable<T> call) throws InstrumentException {
    try {
      return thread.call(what, deadline, beat, call);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, role.name() + ": stopped while it was to " + what, e);
    }
  }

  /** For calls that must be made even by a thread that has been interrupted. */
  private <T> T callWithin(String what, Duration deadline, Callable<T> call)
      throws InstrumentException {
    boolean interrupted = Thread.interrupted();
    try {
      return call(what, deadline, call);
    } finally {
      if (interrupted) {
        Thread.currentThread().interrupt();
      }
    }
  }

  Meter meter() {
    return new GuardedMeter((Meter) instrument);
  }

  Switcher switcher() {
    return new GuardedSwitcher((Switcher) instrument);
  }

  AudioInterface audio() {
    return new GuardedAudio((AudioInterface) instrument);
  }

  private abstract class Guarded implements Instrument {
    @Override
    public Identity identity() {
      return instrument.identity();
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
      return meter.functions();
    }

    @Override
    public Reading read(String function) throws InstrumentException {
      return call("read " + function, deadlines.call(), () -> meter.read(function));
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
      return callWithin("read its relays back", deadlines.call(), switcher::closed);
    }

    @Override
    public void openAll() throws InstrumentException {
      OpenInstrument.this.makeSafe();
    }
  }

  private final class GuardedAudio extends Guarded implements AudioInterface {
    private final AudioInterface audio;

    GuardedAudio(AudioInterface audio) {
      this.audio = audio;
    }

    @Override
    public AudioPorts ports() {
      return audio.ports();
    }

    @Override
    public Capture exchange(Signal stimulus) throws InstrumentException {
      // Simulated signal time passes at the speed of the processor, which may be slower than real.
      Duration signal = Duration.ofNanos(Math.round(stimulus.durationSeconds() * 4e9));
      return call(
          "play and capture", deadlines.call().plus(signal), () -> audio.exchange(stimulus));
    }
  }
}
