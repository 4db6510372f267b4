package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.event.Event;
import kitproof.interlock.Interlocks;

/**
 * Brings the bench to its safe state: drive muted first, then mains off; the loads stay connected.
 *
 * <p>Goes on to the next instrument whatever the one before did, and reads back what it can. May be
 * called from any thread, by several at once.
 */
final class SafeKeeper {
  /**
   * So long, and the time their relays take, the boards that carry drive are given to mute it
   * before the others are commanded too. In real time.
   */
  private static final Duration HEAD_START = Duration.ofMillis(500);

  private static final Duration SLICE = Duration.ofMillis(50);

  private final OpenBench bench;
  private final Routing routing;
  private final Interlocks interlocks;
  private final Runnable beat;

  /**
   * For this bench.
   *
   * @param beat done every now and then while waiting, by the thread that commands
   */
  SafeKeeper(OpenBench bench, Routing routing, Interlocks interlocks, Runnable beat) {
    this.beat = beat;
    this.bench = bench;
    this.interlocks = interlocks;
    this.routing = routing;
  }

  /** The same while the sequence goes on, which then has to select anew what it relies on. */
  Event.SafeState commandBeside(String cause) {
    routing.released();
    try {
      return command(cause);
    } finally {
      routing.released();
    }
  }

  /** Commands it and says what came of it. */
  Event.SafeState command(String cause) {
    List<String> troubles = new ArrayList<>();
    // What they would do is done here; a rail that falls is no reason to trip.
    interlocks.enter(situation -> situation.with(Route.Purpose.MAINS_OFF));
    // The relays first: an interface that is playing must not hold that up, nor a board that hangs
    // keep it playing.
    List<CompletableFuture<String>> relays = release(bench.all(InstrumentKind.SWITCHER));
    for (OpenInstrument audio : bench.all(InstrumentKind.AUDIO_INTERFACE)) {
      makeSafe(audio, troubles);
    }
    await(relays, Duration.ofDays(1)); // each has a deadline of its own
    for (CompletableFuture<String> one : relays) {
      String trouble = one.getNow("");
      if (!trouble.isEmpty()) {
        troubles.add(trouble);
      }
    }
    try {
      for (String route : routing.unsafe()) {
        troubles.add("\"" + route + "\" is not what the relays are read back as");
      }
    } catch (InstrumentException e) {
      troubles.add("the relays could not be read back: " + e.getMessage());
    }
    return new Event.SafeState(cause, troubles.isEmpty(), String.join("; ", troubles));
  }

  /** Whether the run itself has taken the mains off, or never applied it. */
  boolean mainsIsOff() {
    return routing.mainsIsOff();
  }

  /**
   * Commands them all and waits for those that answer soon. Drive first as long as its boards
   * answer; one that hangs does not hold up the mains.
   */
  private List<CompletableFuture<String>> release(List<OpenInstrument> switchers) {
    List<OpenInstrument> driving = switchers.stream().filter(SafeKeeper::carriesDrive).toList();
    List<OpenInstrument> others = switchers.stream().filter(i -> !carriesDrive(i)).toList();
    List<CompletableFuture<String>> all = new ArrayList<>(beside(driving));
    await(all, HEAD_START.plus(settling(driving)));
    all.addAll(beside(others));
    await(all, HEAD_START.plus(settling(others)));
    return all;
  }

  /** Each on a thread of its own; what went wrong, or nothing. */
  private static List<CompletableFuture<String>> beside(List<OpenInstrument> switchers) {
    return switchers.stream()
        .map(switcher -> CompletableFuture.supplyAsync(() -> made(switcher), SafeKeeper::start))
        .toList();
  }

  private static void start(Runnable work) {
    Thread thread = new Thread(work, "kitproof-make-safe");
    thread.setDaemon(true);
    thread.start();
  }

  private static String made(OpenInstrument switcher) {
    try {
      switcher.makeSafeBeside();
      return "";
    } catch (InstrumentException e) {
      return String.valueOf(e.getMessage());
    } catch (RuntimeException | Error e) {
      return switcher.role().name() + ": the program failed: " + e;
    }
  }

  /** Waits whether or not it is interrupted. */
  private void await(List<CompletableFuture<String>> all, Duration atMost) {
    CompletableFuture<Void> every = CompletableFuture.allOf(all.toArray(CompletableFuture[]::new));
    boolean interrupted = Thread.interrupted();
    for (long left = atMost.toNanos(); left > 0; left -= SLICE.toNanos()) {
      beat.run();
      try {
        var unused = every.get(Math.min(left, SLICE.toNanos()), TimeUnit.NANOSECONDS);
        break;
      } catch (TimeoutException e) {
        continue;
      } catch (InterruptedException e) {
        interrupted = true;
      } catch (ExecutionException e) {
        break; // what went wrong comes as a result
      }
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
  }

  /** What the stages of a board's way to rest take: drive, mains, everything else. */
  private static Duration settling(List<OpenInstrument> switchers) {
    return switchers.stream()
        .flatMap(switcher -> switcher.role().routes().stream())
        .map(Route::settle)
        .max(Duration::compareTo)
        .orElse(Duration.ZERO)
        .multipliedBy(3);
  }

  private static void makeSafe(OpenInstrument instrument, List<String> troubles) {
    try {
      instrument.makeSafe();
    } catch (InstrumentException e) {
      troubles.add(e.getMessage());
    }
  }

  private static boolean carriesDrive(OpenInstrument switcher) {
    return switcher.role().routes().stream().anyMatch(r -> r.purpose() == Route.Purpose.DRIVE);
  }
}
