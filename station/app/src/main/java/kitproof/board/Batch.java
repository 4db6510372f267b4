package kitproof.board;

import java.time.Instant;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.NavigableSet;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * The runs of one batch, by unit, and what they come to: reckoned anew for the one unit that has
 * changed, so that a large batch is shown as quickly as a small one.
 */
final class Batch {
  private static final Comparator<UnitRuns.Finished> LATEST_FIRST =
      Comparator.comparing(UnitRuns.Finished::ended)
          .thenComparing(one -> one.run().place.run())
          .thenComparing(one -> one.run().place.unit())
          .reversed();

  final BatchKey key;
  private final Map<String, UnitRuns> units = new TreeMap<>();
  private final NavigableSet<UnitRuns.Finished> finished = new TreeSet<>(LATEST_FIRST);
  private final Map<Pareto.What, Integer> failures = new HashMap<>();
  private Instant latest = Instant.EPOCH;
  private @Nullable Instant endHeard;
  private int tested;
  private int firstPassed;
  private int passed;
  private int planned;
  private String plannedBy = "";

  /** The board's version when it changed last. */
  long version;

  Batch(BatchKey key) {
    this.key = key;
  }

  /** Puts a run in, or reckons with what has changed of it. */
  void add(Run run) {
    UnitRuns runs = units.computeIfAbsent(run.place.unit(), u -> new UnitRuns());
    runs.add(run);
    reckon(runs);
    if (run.when().isAfter(latest)) {
      latest = run.when();
    }
    Instant heard = run.endHeard;
    if (heard != null && (endHeard == null || heard.isAfter(endHeard))) {
      endHeard = heard;
    }
    if (run.planned > 0 && run.place.run().compareTo(plannedBy) >= 0) {
      planned = run.planned;
      plannedBy = run.place.run();
    }
    version = Math.max(version, run.version);
  }

  void remove(Run run) {
    version = Math.max(version, run.version);
    UnitRuns runs = units.get(run.place.unit());
    if (runs != null) {
      runs.remove(run);
      reckon(runs);
      if (runs.isEmpty()) {
        units.remove(run.place.unit());
      }
    }
  }

  private void reckon(UnitRuns runs) {
    count(runs.sum, -1);
    count(runs.reckon(), 1);
  }

  private void count(UnitRuns.Sum sum, int by) {
    tested += sum.tested() ? by : 0;
    firstPassed += sum.firstPassed() ? by : 0;
    passed += sum.passed() ? by : 0;
    UnitRuns.Finished last = sum.finished();
    if (last != null && by > 0) {
      finished.add(last);
    } else if (last != null) {
      finished.remove(last);
    }
    for (Pareto.What what : sum.failures()) {
      failures.merge(what, by, (one, other) -> one + other == 0 ? null : one + other);
    }
  }

  boolean isEmpty() {
    return units.isEmpty();
  }

  /** Runs of one unit, the oldest first; empty if there are none. */
  List<Run> runs(String unit) {
    UnitRuns runs = units.get(unit);
    return runs == null ? List.of() : runs.all();
  }

  /** How many runs a unit has had. */
  int runCount(String unit) {
    UnitRuns runs = units.get(unit);
    return runs == null ? 0 : runs.size();
  }

  /** How many units have a run that ended. */
  int finishedCount() {
    return finished.size();
  }

  /** The last run that ended of each unit, the one that ended last first. */
  Stream<Run> finished() {
    return finished.stream().map(UnitRuns.Finished::run);
  }

  /** The last attempt of each unit or, of a unit without, its last run, in the same order. */
  Stream<Run> attempts() {
    return finished()
        .map(
            run -> {
              UnitRuns runs = units.get(run.place.unit());
              Run attempt = runs == null ? null : runs.sum.attempt();
              return attempt == null ? run : attempt;
            });
  }

  /** When they ended by the calendar, the last first. */
  Stream<Instant> ends() {
    return finished.stream().map(UnitRuns.Finished::ended);
  }

  /** Whether results of this name have failed in the first run of a unit. */
  boolean firstFailed(String unit, String name) {
    UnitRuns runs = units.get(unit);
    return runs != null && runs.sum.failures().contains(new Pareto.What(name, true));
  }

  /** In how many units each has failed in the first run. */
  Map<Pareto.What, Integer> failures() {
    return Collections.unmodifiableMap(failures);
  }

  /** When its latest run ended or, if it goes on, began, by the calendar. */
  Instant latest() {
    return latest;
  }

  /** When the board last heard that a run has ended; null if it has not. */
  @Nullable Instant endHeard() {
    return endHeard;
  }

  /** Units it will have, as the latest run's station said; 0 if none has. */
  int planned() {
    return planned;
  }

  /** When a run ended, by the calendar. */
  static Instant ended(Run run) {
    Instant end = run.end();
    return end == null ? Instant.EPOCH : end;
  }

  /** How the units have done. */
  Yield yield() {
    return new Yield(tested, firstPassed, passed);
  }
}
