package kitproof.run;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.LongSupplier;
import kitproof.driver.BenchClock;
import kitproof.driver.DriverProvider;
import kitproof.driver.Handling;
import kitproof.driver.InstrumentException;
import kitproof.event.Event;
import kitproof.plan.Bench;
import kitproof.plan.Plan;

/**
 * Brings a bench to its safe state while no run is going on: a program that was killed could not,
 * and nobody knows when the next run will begin.
 */
public final class SafeStart {
  private static final String CAUSE = "start of the station";

  private SafeStart() {}

  /**
   * Opens the instruments, commands the safe state, reads it back, and closes them again. Where one
   * cannot be opened, every board that takes the mains away and answers is put to rest all the
   * same, and the safe state is told as not confirmed.
   *
   * <p>There is no record yet that could take what the drivers have to tell, such as a reply that
   * had to be asked for twice: it stands in the detail, of a good end as well.
   *
   * @param clock the bench's time
   * @param ticker real nanoseconds, never backwards
   */
  public static Event.SafeState command(
      Bench bench,
      Map<String, DriverProvider> drivers,
      BenchClock clock,
      LongSupplier ticker,
      Deadlines deadlines)
      throws InterruptedException {
    Latest nobody = new Latest(ticker);
    List<String> notices = new CopyOnWriteArrayList<>();
    InterlockGuard none = new InterlockGuard(nothing(bench), bench, clock, nobody, trip -> {});
    try (none;
        OpenBench open =
            OpenBench.open(
                bench,
                drivers,
                "",
                Handling.UNTOLD,
                deadlines,
                () -> {},
                new Halt(),
                none,
                nobody,
                notices::add)) {
      Routing routing = new Routing(bench, open.switchers(), none.interlocks());
      Event.SafeState state =
          new SafeKeeper(open, routing, none.interlocks(), () -> {}).command(CAUSE);
      return with(notices, state.confirmed(), state.detail());
    } catch (InstrumentException e) {
      return with(notices, false, troubles(e));
    }
  }

  private static Event.SafeState with(List<String> notices, boolean confirmed, String detail) {
    List<String> all = new ArrayList<>(notices);
    if (!detail.isEmpty()) {
      all.add(0, detail);
    }
    return new Event.SafeState(CAUSE, confirmed, String.join("; ", all));
  }

  private static String troubles(InstrumentException e) {
    List<String> all = new ArrayList<>(List.of(String.valueOf(e.getMessage())));
    for (Throwable other : e.getSuppressed()) {
      all.add(String.valueOf(other.getMessage()));
    }
    return String.join("; ", all)
        + "; the relay boards that take the mains away are put to rest as far as they answer";
  }

  /** A plan without steps and interlocks. */
  private static Plan nothing(Bench bench) {
    return new Plan(
        "", "", "", Optional.empty(), Path.of(""), List.of(), List.of(), List.of(), bench.source());
  }
}
