package kitproof.board;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import kitproof.event.Verdict;

/** What fails most: for each name of a result, in how many units it failed at least once. Pure. */
final class Pareto {
  private record What(String name, boolean result) implements Comparable<What> {
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

  static List<Row> of(Batch batch) {
    Map<What, Integer> counts = new TreeMap<>();
    for (TreeMap<String, Run> runs : batch.units()) {
      Set<What> names = new LinkedHashSet<>();
      for (Run run : runs.values()) {
        run.failedNames().forEach(name -> names.add(new What(name, true)));
        if (run.verdict == Verdict.ABORTED && run.failed.isEmpty()) {
          names.add(new What(Verdict.ABORTED.toString(), false));
        }
      }
      names.forEach(name -> counts.merge(name, 1, Integer::sum));
    }
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
