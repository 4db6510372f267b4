package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.Reading;
import kitproof.driver.SimulatedClock;

/** Readings of a meter while a signal is held: as many as fit into the time of what is done. */
final class HeldReadings {
  private final SimulatedClock clock;
  private final Meter meter;

  /** How long a reading takes while something is played. */
  Duration readingTime = Duration.ofMillis(300);

  /** How many times longer readings take from one signal to the next. */
  int slowing = 1;

  /** How much longer than its signal an exchange takes. */
  Duration beyondSignal = Duration.ZERO;

  /** Seconds that each signal lasted while readings were taken. */
  final List<Double> held = new ArrayList<>();

  HeldReadings(SimulatedClock clock, Meter meter) {
    this.clock = clock;
    this.meter = meter;
  }

  /** See {@link StepBench#readWhilePlaying}. */
  <T> StepBench.Beside<T> read(
      String function, Duration from, Duration every, StepBench.Work<T> work)
      throws InstrumentException, InterruptedException {
    long began = clock.nanos();
    T result = work.run();
    long signal = clock.nanos() - began;
    held.add(signal / 1e9);
    List<Reading> readings = new ArrayList<>();
    long step = Math.max(every.toNanos(), readingTime.toNanos());
    for (long at = from.plus(beyondSignal).toNanos();
        at + readingTime.toNanos() <= signal;
        at += step) {
      readings.add(meter.read(function));
    }
    StepBench.Beside<T> beside =
        new StepBench.Beside<>(result, readings, readingTime, beyondSignal);
    readingTime = readingTime.multipliedBy(slowing);
    return beside;
  }
}
