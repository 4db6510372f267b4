package kitproof.board;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import kitproof.event.Verdict;

/**
 * What fails most: for each name of a result, in how many units it failed in the first run that
 * tells of the unit, as in a batch's report. Pure.
 */
final class Pareto {
  /** What can fail. */
  record What(String name, boolean result) implements Comparable<What> {
    @Override
    public int compareTo(What other) {
      return Comparator.comparing(What::name).thenComparing(What::result).compare(this, other);
    }
  }

  /**
   * One row, the largest first.
   *
   * @param name of the result, without conditions
   * @param result false for the row of units that were aborted before a result could fail
   * @param units in which it failed
   * @param cumulative share of all counts up to this row, 0 to 1
   */
  record Row(String name, boolean result, int units, double cumulative) {}

  private Pareto() {}

  /** What has failed in a run. */
  static Set<What> of(Run run) {
    Set<What> failed = new LinkedHashSet<>();
    run.failedNames().forEach(name -> failed.add(new What(name, true)));
    if (run.verdict == Verdict.ABORTED && run.failed.isEmpty()) {
      failed.add(new What(Verdict.ABORTED.toString(), false));
    }
    return failed;
  }

  /**
   * The rows.
   *
   * @param failures in how many units each has failed
   */
  static List<Row> of(Map<What, Integer> failures) {
    Map<What, Integer> counts = new TreeMap<>(failures);
    int all = counts.values().stream().mapToInt(Integer::intValue).sum();
    List<Map.Entry<What, Integer>> sorted = new ArrayList<>(counts.entrySet());
    sorted.sort(Map.Entry.comparingByValue(Comparator.reverseOrder())); // stable: then by name
    List<Row> rows = new ArrayList<>();
    int sum = 0;
    for (Map.Entry<What, Integer> one : sorted) {
      sum += one.getValue();
      rows.add(
          new Row(one.getKey().name(), one.getKey().result(), one.getValue(), (double) sum / all));
    }
    return rows;
  }
}
