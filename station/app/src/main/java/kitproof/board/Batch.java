package kitproof.board;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import kitproof.event.Verdict;
import org.jspecify.annotations.Nullable;

/** The runs of one batch, by unit. */
final class Batch {
  final BatchKey key;
  private final Map<String, TreeMap<String, Run>> units = new TreeMap<>();
  private Instant latest = Instant.EPOCH;

  Batch(BatchKey key) {
    this.key = key;
  }

  void add(Run run) {
    units.computeIfAbsent(run.place.unit(), u -> new TreeMap<>()).put(run.place.run(), run);
    Instant started = run.started;
    if (started != null && started.isAfter(latest)) {
      latest = started;
    }
  }

  void remove(Run run) {
    TreeMap<String, Run> runs = units.get(run.place.unit());
    if (runs != null) {
      runs.remove(run.place.run());
      if (runs.isEmpty()) {
        units.remove(run.place.unit());
      }
    }
  }

  boolean isEmpty() {
    return units.isEmpty();
  }

  Collection<TreeMap<String, Run>> units() {
    return units.values();
  }

  /** Runs of one unit, the oldest first; empty if there are none. */
  List<Run> runs(String unit) {
    TreeMap<String, Run> runs = units.get(unit);
    return runs == null ? List.of() : List.copyOf(runs.values());
  }

  /** The last run that ended of each unit, the one that ended last first. */
  List<Run> finished() {
    List<Run> last = new ArrayList<>();
    for (TreeMap<String, Run> runs : units.values()) {
      runs.descendingMap().values().stream()
          .filter(r -> r.ended != null)
          .findFirst()
          .ifPresent(last::add);
    }
    last.sort(Comparator.comparing(Batch::ended).thenComparing(r -> r.place.run()).reversed());
    return last;
  }

  /** When its latest run began. */
  Instant latest() {
    return latest;
  }

  static Instant ended(Run run) {
    Instant ended = run.ended;
    return ended == null ? Instant.EPOCH : ended;
  }

  /** How the units have done. */
  Yield yield() {
    int tested = 0;
    int firstPassed = 0;
    int passed = 0;
    for (TreeMap<String, Run> runs : units.values()) {
      Run first = null;
      Run last = null;
      for (Run run : runs.values()) {
        if (run.conclusive()) {
          first = first == null ? run : first;
          last = run;
        }
      }
      if (last != null) {
        tested++;
        firstPassed += passed(first);
        passed += passed(last);
      }
    }
    return new Yield(tested, firstPassed, passed);
  }

  private static int passed(@Nullable Run run) {
    return run != null && run.verdict == Verdict.PASS ? 1 : 0;
  }
}
