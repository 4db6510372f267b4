package kitproof.limit.statistics;

import java.util.ArrayList;
import java.util.List;
import org.apache.commons.math3.distribution.TDistribution;

/**
 * The generalised extreme studentised deviate test: which values do not belong to the rest.
 *
 * <p>Rosner, Technometrics 25 (1983) 165; NIST/SEMATECH e-Handbook 1.3.5.17.3. Finds several
 * outliers, also where they hide one another. It presumes that the rest is normal.
 *
 * @param indices of the outliers in the sample, the most extreme first
 * @param steps what was compared for each suspect
 */
public record Outliers(List<Integer> indices, List<Step> steps) {
  public Outliers {
    indices = List.copyOf(indices);
    steps = List.copyOf(steps);
  }

  /**
   * One suspect.
   *
   * @param index in the sample
   * @param statistic its distance from the mean of what remains, in standard deviations
   * @param critical what the statistic of an outlier exceeds
   */
  public record Step(int index, double statistic, double critical) {}

  /**
   * Looks for outliers.
   *
   * @param most how many outliers there may be at most, below the number of values less 2
   * @param significance the chance of calling any of normal values an outlier, such as 0.05
   * @throws IllegalArgumentException if there are fewer than 3 values, one is not finite, or {@code
   *     most} is too large
   */
  public static Outliers find(double[] values, int most, double significance) {
    Sample.require(values, 3);
    Sample.requireProbability(significance, "a significance of");
    if (most < 1 || most > values.length - 2) {
      throw new IllegalArgumentException(
          "at most " + most + " outliers among " + values.length + " values");
    }
    List<Integer> left = new ArrayList<>();
    for (int i = 0; i < values.length; i++) {
      left.add(i);
    }
    List<Step> steps = new ArrayList<>();
    int found = 0;
    for (int k = 1; k <= most; k++) {
      Summary rest = Summary.of(left.stream().mapToDouble(i -> values[i]).toArray());
      if (!(rest.standardDeviation() > 0)) {
        break;
      }
      int worst = left.get(0);
      for (int i : left) {
        if (Math.abs(values[i] - rest.mean()) > Math.abs(values[worst] - rest.mean())) {
          worst = i;
        }
      }
      double statistic = Math.abs(values[worst] - rest.mean()) / rest.standardDeviation();
      double critical = critical(values.length, k, significance);
      steps.add(new Step(worst, statistic, critical));
      if (statistic > critical) {
        found = k;
      }
      left.remove((Integer) worst);
    }
    return new Outliers(steps.stream().limit(found).map(Step::index).toList(), steps);
  }

  private static double critical(int n, int k, double significance) {
    double p = 1 - significance / (2.0 * (n - k + 1));
    double t = new TDistribution(null, n - k - 1).inverseCumulativeProbability(p);
    return (n - k) * t / Math.sqrt((n - k - 1 + t * t) * (n - k + 1));
  }
}
