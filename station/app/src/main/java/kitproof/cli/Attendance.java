package kitproof.cli;

import java.io.PrintWriter;
import java.util.List;
import kitproof.console.Conversation;
import kitproof.operator.Desk;
import kitproof.operator.PersonDriver;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.plugin.Drivers;
import kitproof.run.Preflight;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/**
 * Whether there is a person at the terminal who can be asked.
 *
 * @param nobody why nobody can be asked; empty if somebody can
 * @param desk where questions are put
 */
record Attendance(String nobody, Desk desk) {
  /** At this terminal; nobody reads what is printed for a program. */
  static Attendance find(boolean json, PluginsOption plugins) {
    return new Attendance(
        json ? "--json" : Terminal.find().person() ? "" : "no terminal", plugins.desk());
  }

  /** Questions of the plan that nobody would answer. */
  List<Problem> unasked(Plan plan, Bench bench) {
    return Preflight.nobodyToAsk(plan, bench, nobody);
  }

  /** With the person; null if nobody is asked on this bench, or can be. */
  @Nullable Conversation conversation(Bench bench) {
    boolean asks =
        bench.roles().values().stream().anyMatch(role -> role.driver().equals(PersonDriver.ID));
    return asks && nobody.isEmpty() ? new Conversation(desk, Terminal.typed()) : null;
  }

  /**
   * Runs of a plan that ask this person, and stop at a signal.
   *
   * @param otherwise where the stop is told if no run shows it
   */
  UnitRun run(Prepared prepared, Drivers drivers, PrintWriter otherwise) {
    UnitRun run = new UnitRun(prepared, drivers, conversation(prepared.bench()), null);
    Signals.handle(() -> run.stopAndSay(otherwise));
    return run;
  }
}
