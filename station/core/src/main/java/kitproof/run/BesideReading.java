package kitproof.run;

import java.time.Duration;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.Reading;
import kitproof.interlock.TurnClock;
import kitproof.procedure.StepBench;

/**
 * A reading in the middle of other work: in real time on a thread of its own, on a simulated bench
 * in a turn of its clock.
 */
final class BesideReading {
  private BesideReading() {}

  static <T> StepBench.Beside<T> take(
      BenchClock clock,
      OpenInstrument meter,
      String function,
      Duration after,
      StepBench.Work<T> work)
      throws InstrumentException, InterruptedException {
    CompletableFuture<Reading> reading = new CompletableFuture<>();
    Runnable read =
        () -> {
          try {
            reading.complete(meter.readForInterlock(function));
          } catch (InstrumentException | RuntimeException e) {
            reading.completeExceptionally(e);
          }
        };
    T result;
    if (clock instanceof TurnClock turns) {
      turns.later(after, read);
      try {
        result = work.run();
      } finally {
        turns.notLater();
      }
    } else {
      Thread thread = new Thread(() -> sleepAndRun(clock, after, read), "kitproof-reading");
      thread.setDaemon(true);
      thread.start();
      result = work.run();
      thread.join(); // the call of the meter has a deadline
    }
    return new StepBench.Beside<>(result, taken(reading));
  }

  private static void sleepAndRun(BenchClock clock, Duration after, Runnable read) {
    try {
      clock.sleep(after);
      read.run();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private static Reading taken(CompletableFuture<Reading> reading)
      throws InstrumentException, InterruptedException {
    if (!reading.isDone()) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, "the work was over before the meter could be read");
    }
    try {
      return reading.get();
    } catch (ExecutionException e) {
      if (e.getCause() instanceof InstrumentException failed) {
        throw failed;
      }
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, String.valueOf(e.getMessage()), e);
    }
  }
}
