package kitproof.board;

import java.time.Instant;
import java.util.List;
import java.util.Set;
import java.util.TreeMap;
import kitproof.event.Verdict;
import org.jspecify.annotations.Nullable;

/** The runs of one unit in a batch, and what they come to. */
final class UnitRuns {
  private final TreeMap<String, Run> runs = new TreeMap<>();

  /**
   * What a unit counts as.
   *
   * @param tested whether a run says something of it
   * @param firstPassed whether the first such run was a pass
   * @param passed whether the last such run was a pass
   * @param failures what has failed in the first such run
   * @param attempt the last such run; null if there is none
   * @param finished its last run that ended; null if there is none
   */
  record Sum(
      boolean tested,
      boolean firstPassed,
      boolean passed,
      Set<Pareto.What> failures,
      @Nullable Run attempt,
      @Nullable Finished finished) {
    static final Sum NOTHING = new Sum(false, false, false, Set.of(), null, null);
  }

  /** A run that ended, ordered by when, by the calendar. */
  record Finished(Instant ended, Run run) {}

  /** As last reckoned. */
  Sum sum = Sum.NOTHING;

  void add(Run run) {
    runs.put(run.place.run(), run);
  }

  void remove(Run run) {
    runs.remove(run.place.run());
  }

  boolean isEmpty() {
    return runs.isEmpty();
  }

  int size() {
    return runs.size();
  }

  /** The oldest first. */
  List<Run> all() {
    return List.copyOf(runs.values());
  }

  /** Reckons anew. */
  Sum reckon() {
    Run first = null;
    Run last = null;
    Finished finished = null;
    for (Run run : runs.values()) {
      if (run.conclusive()) {
        first = first == null ? run : first;
        last = run;
      }
      Instant end = run.end();
      if (end != null) {
        finished = new Finished(end, run);
      }
    }
    sum =
        new Sum(
            last != null,
            passed(first),
            passed(last),
            first == null ? Set.of() : Pareto.of(first),
            last,
            finished);
    return sum;
  }

  private static boolean passed(@Nullable Run run) {
    return run != null && run.verdict == Verdict.PASS;
  }
}
