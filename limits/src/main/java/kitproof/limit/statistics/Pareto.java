package kitproof.limit.statistics;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/** Causes by how often they occurred, most often first; equals by name. */
public final class Pareto {
  private Pareto() {}

  /**
   * One cause.
   *
   * @param name of the cause
   * @param count how often
   * @param cumulative the part of all occurrences that this and those before it make, 0 to 1
   */
  public record Bar(String name, int count, double cumulative) {}

  /**
   * Counts them.
   *
   * @param occurrences one name for each
   */
  public static List<Bar> of(Collection<String> occurrences) {
    Map<String, Integer> counts = new TreeMap<>();
    occurrences.forEach(name -> counts.merge(name, 1, Integer::sum));
    List<Map.Entry<String, Integer>> sorted = new ArrayList<>(counts.entrySet());
    sorted.sort(Map.Entry.comparingByValue(Comparator.reverseOrder()));
    List<Bar> bars = new ArrayList<>();
    int sum = 0;
    for (Map.Entry<String, Integer> entry : sorted) {
      sum += entry.getValue();
      bars.add(new Bar(entry.getKey(), entry.getValue(), (double) sum / occurrences.size()));
    }
    return bars;
  }
}
