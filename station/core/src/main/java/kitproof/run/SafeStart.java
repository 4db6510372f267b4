package kitproof.run;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
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
                told -> {})) {
      Routing routing = new Routing(bench, open.switchers(), none.interlocks());
      return new SafeKeeper(open, routing, none.interlocks(), () -> {}).command(CAUSE);
    } catch (InstrumentException e) {
      return new Event.SafeState(CAUSE, false, troubles(e));
    }
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
