package kitproof.limit.statistics;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import org.apache.commons.math3.distribution.FDistribution;
import org.apache.commons.math3.stat.StatUtils;

/**
 * Whether the means of groups differ by more than their scatter explains: analysis of variance, one
 * way (NIST/SEMATECH e-Handbook 7.4.3).
 *
 * @param f mean square between groups over that within them; infinite if nothing scatters within
 * @param probability of such an f by chance, were the errors normal, independent and of one size
 * @param spread of the groups' means, highest less lowest
 */
public record GroupDifference(double f, double probability, double spread) {
  /**
   * Compares groups.
   *
   * @throws IllegalArgumentException if there are fewer than 2 groups, one has fewer than 2 values,
   *     or a value is not finite
   */
  public static GroupDifference of(Collection<double[]> groups) {
    if (groups.size() < 2) {
      throw new IllegalArgumentException(groups.size() + " groups, where 2 are needed");
    }
    List<Double> means = new ArrayList<>();
    double sum = 0;
    int count = 0;
    for (double[] group : groups) {
      Sample.require(group, 2);
      means.add(StatUtils.mean(group));
      sum += StatUtils.sum(group);
      count += group.length;
    }
    double all = sum / count;
    double between = 0;
    double within = 0;
    int g = 0;
    for (double[] group : groups) {
      double mean = means.get(g++);
      between += group.length * (mean - all) * (mean - all);
      for (double value : group) {
        within += (value - mean) * (value - mean);
      }
    }
    int freeBetween = groups.size() - 1;
    int freeWithin = count - groups.size();
    double spread =
        means.stream().mapToDouble(m -> m).max().orElse(0)
            - means.stream().mapToDouble(m -> m).min().orElse(0);
    if (within == 0) {
      boolean same = between == 0;
      return new GroupDifference(same ? 0 : Double.POSITIVE_INFINITY, same ? 1 : 0, spread);
    }
    double f = between / freeBetween / (within / freeWithin);
    double below = new FDistribution(null, freeBetween, freeWithin).cumulativeProbability(f);
    return new GroupDifference(f, 1 - below, spread);
  }
}
