package kitproof.benchmark;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.RunRecord;
import kitproof.mqtt.Message;
import kitproof.mqtt.Messages;
import kitproof.mqtt.RecordMessage;
import kitproof.mqtt.Topics;

/** Many stations, each testing one unit after the other, begun evenly over a unit's time. */
final class MadeUpShop implements AutoCloseable {
  static final int STEPS = 20;
  static final int RESULTS = 3 * STEPS;
  static final String BATCH = "benchmark";

  private final Crier crier;
  private final Duration unitTime;
  private final ScheduledExecutorService clock = Executors.newScheduledThreadPool(2);
  private final ConcurrentLinkedQueue<String> failures = new ConcurrentLinkedQueue<>();
  private final AtomicInteger finished = new AtomicInteger();
  private final AtomicInteger steps = new AtomicInteger();
  private volatile boolean last;

  /**
   * Begins.
   *
   * @param unitTime how long a unit takes
   */
  MadeUpShop(Crier crier, int stations, Duration unitTime) {
    this.crier = crier;
    this.unitTime = unitTime;
    for (int i = 0; i < stations; i++) {
      Station station = new Station(i);
      long offset = unitTime.toNanos() * i / stations / STEPS;
      clock.schedule(guarded(station::begin), offset, TimeUnit.NANOSECONDS);
    }
  }

  private Runnable guarded(Runnable work) {
    return () -> {
      try {
        work.run();
      } catch (RuntimeException e) {
        failures.add(e.toString());
      }
    };
  }

  /** No station begins another unit. */
  void endWithTheseUnits() {
    last = true;
  }

  /** Units whose verdict was told. */
  int finished() {
    return finished.get();
  }

  /** Ends of steps that were told. */
  int steps() {
    return steps.get();
  }

  /** What went wrong in here, which is no fault of the board's. */
  List<String> failures() {
    return List.copyOf(failures);
  }

  @Override
  public void close() {
    clock.shutdownNow();
  }

  /** One of them. */
  private final class Station {
    private final int number;
    private final String name;
    private final Random random;
    private int unit;
    private MadeUpRun run;
    private int step;

    Station(int number) {
      this.number = number;
      name = String.format(Locale.ROOT, "bench-%03d", number + 1);
      random = new Random(number);
      run = next();
    }

    private MadeUpRun next() {
      unit++;
      String serial = String.format(Locale.ROOT, "LN12-%03d-%02d", number + 1, unit);
      return new MadeUpRun(
          name, serial, BATCH, Instant.now(), unitTime.dividedBy(STEPS), STEPS, random);
    }

    void begin() {
      step = 0;
      status();
      tell(run.entries().subList(0, 2)); // the run's start and the first step's
      clock.schedule(guarded(this::endStep), stepNanos(), TimeUnit.NANOSECONDS);
    }

    private long stepNanos() {
      return unitTime.toNanos() / STEPS;
    }

    private void endStep() {
      int from = 2 + 5 * step;
      boolean end = ++step == STEPS;
      steps.incrementAndGet();
      if (!end) {
        status();
      }
      tell(run.entries().subList(from, from + 5)); // results, the step's end, and what follows it
      if (!end) {
        clock.schedule(guarded(this::endStep), stepNanos(), TimeUnit.NANOSECONDS);
        return;
      }
      finished.incrementAndGet();
      if (last) {
        crier.cry(name, message("\"state\":\"online\""));
      } else {
        run = next();
        begin();
      }
    }

    private void tell(List<Entry> entries) {
      for (Entry entry : entries) {
        List<Message> messages = new ArrayList<>(Messages.of(entry, run.start()));
        if (entry.event() instanceof Event.RunEnded) {
          RunRecord record = RunRecord.of(run.entries());
          messages.add(1, RecordMessage.verdict(record, entry.id(), 0));
          messages.add(2, RecordMessage.of(record, entry.id(), 0));
        }
        messages.forEach(message -> crier.cry(name, message));
      }
    }

    /** The step's name carries the moment at which the step before it ended. */
    private void status() {
      Event.RunStarted start = run.start();
      crier.cry(
          name,
          message(
              String.format(
                  Locale.ROOT,
                  "\"state\":\"running\",\"run\":\"%s\",\"product\":\"%s\",\"unit\":\"%s\","
                      + "\"revision\":\"B\",\"batch\":\"%s\",\"plan\":\"made up\","
                      + "\"started\":\"%s\",\"steps\":%d,\"expected\":%d,\"behind\":%d,"
                      + "\"index\":%d,\"step\":\"step %d after %d\"",
                  start.run(),
                  start.product(),
                  start.unit(),
                  BATCH,
                  run.entries().get(0).time(),
                  STEPS,
                  unitTime.toSeconds(),
                  unitTime.toSeconds() * step / STEPS,
                  step,
                  step,
                  System.currentTimeMillis())));
    }

    private Message message(String fields) {
      String json =
          String.format(
              Locale.ROOT,
              "{\"schema\":1,\"id\":\"s\",\"shop\":\"shop\",\"station\":\"%s\",%s}",
              name,
              fields);
      return new Message(Topics.status("shop", name), "s", json, true);
    }
  }
}
