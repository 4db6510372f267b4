package kitproof.run;

import java.time.Duration;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.LongSupplier;

/** Notices that the sequencer shows no sign of life, and then acts once, on its own thread. */
final class Heartbeat implements AutoCloseable {
  private final LongSupplier ticker;
  private final long limitNanos;
  private final AtomicLong last = new AtomicLong();
  private final ScheduledExecutorService watch;

  /**
   * Watches from now on.
   *
   * @param ticker real nanoseconds, never backwards
   * @param onStall what to do, once
   */
  Heartbeat(LongSupplier ticker, Duration limit, Runnable onStall) {
    this.ticker = ticker;
    this.limitNanos = limit.toNanos();
    beat();
    watch =
        Executors.newSingleThreadScheduledExecutor(
            work -> {
              Thread thread = new Thread(work, "kitproof-heartbeat");
              thread.setDaemon(true);
              return thread;
            });
    long period = Math.max(1, limit.toMillis() / 10);
    var unused =
        watch.scheduleAtFixedRate(
            () -> {
              if (ticker.getAsLong() - last.get() > limitNanos) {
                watch.shutdown();
                onStall.run();
              }
            },
            period,
            period,
            TimeUnit.MILLISECONDS);
  }

  /** A sign of life. */
  void beat() {
    last.set(ticker.getAsLong());
  }

  @Override
  public void close() {
    watch.shutdownNow();
  }
}
