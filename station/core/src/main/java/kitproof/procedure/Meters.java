package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.Reading;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** Series of readings that several procedures take. */
final class Meters {
  private Meters() {}

  /**
   * One reading, or the reason why there is none.
   *
   * @param quantity the value, or zero in {@link Unit#ONE} if there is none
   * @param trouble empty if there is a value
   * @param took how long the meter took to give it, seconds: so much earlier it may have been true
   */
  record Sample(double seconds, Quantity quantity, String trouble, double took) {
    /** A reading as it came. */
    static Sample of(double seconds, Reading reading) {
      if (reading instanceof Reading.Value value) {
        return new Sample(seconds, value.quantity(), "", 0);
      }
      String trouble =
          reading instanceof Reading.Overload overload
              ? "the meter shows overload (" + (overload.negative() ? "negative" : "positive") + ")"
              : "the meter has no number to give";
      return new Sample(seconds, Quantity.of(0, Unit.ONE), trouble, 0);
    }

    /** The same, as if it had been read at this time of the step. */
    Sample at(Duration elapsed) {
      return new Sample(elapsed.toNanos() / 1e9, quantity, trouble, took);
    }

    /** The same with the time that the meter took. */
    private Sample since(Duration asked) {
      return new Sample(seconds, quantity, trouble, seconds - asked.toNanos() / 1e9);
    }

    boolean good() {
      return trouble.isEmpty();
    }
  }

  /** Reads once, now. */
  static Sample sample(StepBench bench, Meter meter, String function) throws InstrumentException {
    Duration asked = bench.elapsed();
    return sample(bench, meter.read(function), asked);
  }

  /** A reading that has just been taken, asked for at this time of the step. */
  static Sample sample(StepBench bench, Reading reading, Duration asked) {
    double seconds = bench.elapsed().toNanos() / 1e9;
    return Sample.of(seconds, reading).since(asked);
  }

  /** Reads n times, each {@code every} after the one before began, or as fast as the meter can. */
  static List<Sample> series(
      StepBench bench, Meter meter, String function, int count, Duration every)
      throws InstrumentException, InterruptedException {
    List<Sample> samples = new ArrayList<>(count);
    Duration next = bench.elapsed();
    for (int i = 0; i < count; i++) {
      samples.add(sample(bench, meter, function));
      next = next.plus(every);
      if (i + 1 < count) {
        bench.pause(next.minus(bench.elapsed()));
      }
    }
    return samples;
  }
}
