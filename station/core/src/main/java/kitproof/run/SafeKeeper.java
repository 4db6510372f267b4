package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.BooleanSupplier;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.event.Event;
import kitproof.interlock.Interlocks;
import kitproof.plan.Bench;

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
  private static final Duration EACH_HAS_A_DEADLINE = Duration.ofDays(1);
  private static final String NOT_YET = "not yet";
  private static final String HELD =
      "the loads are left as they are, as neither the mute nor the audio interface is known to have"
          + " taken the drive away; their boards are left open until one has";

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
    // What they would do is done here; a rail that falls is no reason to trip.
    interlocks.enter(situation -> situation.with(Route.Purpose.MAINS_OFF));
    List<String> troubles = release();
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
   * Commands everything and returns what went wrong. The boards that carry drive and the audio
   * interfaces come first, side by side, so that neither holds up the other. Drive before mains as
   * long as its boards answer; one that hangs does not hold up the mains. A load on a board without
   * drive stays where it is until the drive is known to be off.
   */
  private List<String> release() {
    List<OpenInstrument> switchers = bench.all(InstrumentKind.SWITCHER);
    List<OpenInstrument> driving = having(Route.Purpose.DRIVE, switchers);
    List<OpenInstrument> others = without(driving, switchers);
    List<OpenInstrument> loading = having(Route.Purpose.LOAD, others);
    List<CompletableFuture<String>> muting = beside(driving, OpenInstrument::makeSafeBeside);
    List<CompletableFuture<String>> silencing =
        beside(bench.all(InstrumentKind.AUDIO_INTERFACE), OpenInstrument::makeSafeBeside);
    await(muting, headStart(roles(driving)), () -> false);
    List<CompletableFuture<String>> rest =
        new ArrayList<>(beside(without(loading, others), OpenInstrument::makeSafeBeside));
    rest.addAll(
        beside(having(Route.Purpose.MAINS_OFF, loading), OpenInstrument::takeMainsOffBeside));
    await(rest, headStart(roles(others)), () -> false);
    List<CompletableFuture<String>> all = new ArrayList<>(silencing);
    all.addAll(muting);
    await(all, EACH_HAS_A_DEADLINE, () -> isOff(muting, silencing));
    if (isOff(muting, silencing)) {
      rest.addAll(beside(loading, OpenInstrument::makeSafeBeside));
    } else if (!loading.isEmpty()) {
      loading.forEach(OpenInstrument::hold); // closing a switcher moves its relays
      rest.add(CompletableFuture.completedFuture(HELD));
    }
    all.addAll(rest);
    await(all, EACH_HAS_A_DEADLINE, () -> false);
    routing.silenced(areDone(silencing));
    return new ArrayList<>(
        all.stream().map(one -> one.getNow("")).filter(one -> !one.isEmpty()).toList());
  }

  /** Whether nothing drives any more: every path is open, or every interface silent. */
  private static boolean isOff(
      List<CompletableFuture<String>> muting, List<CompletableFuture<String>> silencing) {
    return (muting.isEmpty() && silencing.isEmpty()) || areDone(muting) || areDone(silencing);
  }

  /**
   * The same of a bench of which all is closed but these: what is closed is at rest and silent.
   *
   * @param all every instrument that was open
   */
  static boolean isOffWithout(List<OpenInstrument> left, List<OpenInstrument> all) {
    List<OpenInstrument> driving = having(Route.Purpose.DRIVE, all);
    List<OpenInstrument> playing =
        all.stream().filter(i -> i.role().kind() == InstrumentKind.AUDIO_INTERFACE).toList();
    return (driving.isEmpty() && playing.isEmpty())
        || areClosed(driving, left)
        || areClosed(playing, left);
  }

  private static boolean areClosed(List<OpenInstrument> some, List<OpenInstrument> left) {
    return !some.isEmpty() && some.stream().noneMatch(left::contains);
  }

  private static boolean areDone(List<CompletableFuture<String>> some) {
    return !some.isEmpty() && some.stream().allMatch(one -> one.getNow(NOT_YET).isEmpty());
  }

  private static List<OpenInstrument> having(Route.Purpose purpose, List<OpenInstrument> some) {
    return some.stream().filter(i -> carries(i.role(), purpose)).toList();
  }

  private static List<OpenInstrument> without(List<OpenInstrument> these, List<OpenInstrument> of) {
    return of.stream().filter(i -> !these.contains(i)).toList();
  }

  private static List<Bench.Role> roles(List<OpenInstrument> some) {
    return some.stream().map(OpenInstrument::role).toList();
  }

  static boolean carries(Bench.Role role, Route.Purpose purpose) {
    return role.routes().stream().anyMatch(route -> route.purpose() == purpose);
  }

  /**
   * How long the command that takes the mains away may wait for boards that carry drive, where they
   * are others; in real time.
   */
  static Duration beforeMains(Collection<Bench.Role> roles) {
    List<Bench.Role> driving = roles.stream().filter(r -> carries(r, Route.Purpose.DRIVE)).toList();
    boolean elsewhere =
        roles.stream()
            .anyMatch(r -> carries(r, Route.Purpose.MAINS_OFF) && !carries(r, Route.Purpose.DRIVE));
    return elsewhere && !driving.isEmpty() ? headStart(driving) : Duration.ZERO;
  }

  /**
   * What the stages of these boards' way to rest take (drive, mains, everything else), and more.
   */
  private static Duration headStart(List<Bench.Role> boards) {
    return boards.stream()
        .flatMap(role -> role.routes().stream())
        .map(Route::settle)
        .max(Duration::compareTo)
        .orElse(Duration.ZERO)
        .multipliedBy(3)
        .plus(HEAD_START);
  }

  private interface Command {
    void to(OpenInstrument instrument) throws InstrumentException;
  }

  /** Each on a thread of its own; what went wrong, or nothing. */
  private static List<CompletableFuture<String>> beside(
      List<OpenInstrument> some, Command command) {
    return some.stream()
        .map(one -> CompletableFuture.supplyAsync(() -> trouble(one, command), SafeKeeper::start))
        .toList();
  }

  private static void start(Runnable work) {
    Thread thread = new Thread(work, "kitproof-make-safe");
    thread.setDaemon(true);
    thread.start();
  }

  private static String trouble(OpenInstrument instrument, Command command) {
    try {
      command.to(instrument);
      return "";
    } catch (InstrumentException e) {
      return String.valueOf(e.getMessage());
    } catch (RuntimeException | Error e) {
      return instrument.role().name() + ": the program failed: " + e;
    }
  }

  /** Waits, whether or not it is interrupted, for all of these, or until enough are done. */
  private void await(List<CompletableFuture<String>> all, Duration atMost, BooleanSupplier enough) {
    CompletableFuture<Void> every = CompletableFuture.allOf(all.toArray(CompletableFuture[]::new));
    boolean interrupted = Thread.interrupted();
    for (long left = atMost.toNanos();
        left > 0 && !enough.getAsBoolean();
        left -= SLICE.toNanos()) {
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
}
