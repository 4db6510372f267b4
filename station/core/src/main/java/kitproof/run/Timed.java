package kitproof.run;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import kitproof.driver.Answer;
import kitproof.driver.AudioInterface;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.LiveValue;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Reading;
import kitproof.value.Signal;

/** Instruments whose calls are counted in a run's {@link Timing}. */
final class Timed {
  private Timed() {}

  /** Counts the time as the part; an interrupt becomes what instruments make of it. */
  static <T> T in(Timing timing, Timing.Part part, Timing.Work<T, InstrumentException> work)
      throws InstrumentException {
    try {
      return timing.in(part, work);
    } catch (InterruptedException e) {
      throw interrupted(e);
    }
  }

  private static InstrumentException interrupted(InterruptedException e) {
    Thread.currentThread().interrupt();
    return new InstrumentException(InstrumentException.Kind.OTHER, "interrupted", e);
  }

  /** The same for what yields nothing. */
  static void run(Timing timing, Timing.Part part, InstrumentCalls.Action action)
      throws InstrumentException {
    var unused =
        in(
            timing,
            part,
            () -> {
              action.run();
              return true;
            });
  }

  /** Nothing else than the time is changed. */
  record TimedMeter(Meter meter, Timing timing) implements Meter {
    @Override
    public Identity identity() {
      return meter.identity();
    }

    @Override
    public List<MeterFunction> functions() {
      return meter.functions();
    }

    @Override
    public Reading read(String function) throws InstrumentException {
      return in(timing, Timing.Part.READING, () -> meter.read(function));
    }

    @Override
    public void recognise() throws InstrumentException {
      Timed.run(timing, Timing.Part.READING, meter::recognise);
    }

    @Override
    public void makeSafe() throws InstrumentException {
      meter.makeSafe();
    }

    @Override
    public void close() throws InstrumentException {
      meter.close();
    }
  }

  /** All that is said to a person, and by them, is time that they are waited for. */
  record TimedOperator(Operator operator, Timing timing) implements Operator {
    @Override
    public Identity identity() {
      return operator.identity();
    }

    @Override
    public void ask(Question question) throws InstrumentException {
      Timed.run(timing, Timing.Part.PERSON, () -> operator.ask(question));
    }

    @Override
    public Optional<Answer> answer() throws InstrumentException {
      return in(timing, Timing.Part.PERSON, operator::answer);
    }

    @Override
    public void show(LiveValue value) throws InstrumentException {
      Timed.run(timing, Timing.Part.PERSON, () -> operator.show(value));
    }

    @Override
    public void makeSafe() throws InstrumentException {
      Timed.run(timing, Timing.Part.PERSON, operator::makeSafe);
    }

    @Override
    public void close() throws InstrumentException {
      operator.close();
    }
  }

  /** What an exchange takes beyond its stimulus is the interface's. */
  static final class TimedAudio extends PassedOnAudio {
    private final Timing timing;

    TimedAudio(AudioInterface audio, Timing timing) {
      super(audio);
      this.timing = timing;
    }

    @Override
    public Capture exchange(Signal stimulus) throws InstrumentException {
      Duration signal = Duration.ofNanos(Math.round(stimulus.durationSeconds() * 1e9));
      try {
        return timing.playing(signal, () -> beneath().exchange(stimulus));
      } catch (InterruptedException e) {
        throw interrupted(e);
      }
    }
  }
}
