package kitproof.uncertainty;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Side;
import kitproof.value.Uncertainty;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.EigenDecomposition;

/**
 * Contributions to the uncertainty of one figure, combined by the law of propagation (JCGM
 * 100:2008, 5.1 and 5.2), with effective degrees of freedom by Welch and Satterthwaite (G.4).
 *
 * <p>That formula holds for contributions that are independent. Those that are correlated with one
 * another count in it as one, which is known no better than the least known of them.
 */
public final class Budget {
  /** Rounding of a correlation matrix that is just possible. */
  private static final double HAIR = 1e-9;

  private final List<Contribution> contributions;
  private final double[][] correlations;

  /** Whether no two are correlated, as in most budgets: of curves there are hundreds. */
  private final boolean independent;

  private Budget(List<Contribution> contributions, double[][] correlations, boolean independent) {
    this.contributions = contributions;
    this.correlations = correlations;
    this.independent = independent;
  }

  /**
   * Of independent contributions.
   *
   * @throws IllegalArgumentException if two have one name
   */
  public static Budget of(List<Contribution> contributions) {
    Budget budget = new Budget(List.copyOf(contributions), new double[0][0], true);
    Set<String> names = new HashSet<>();
    for (Contribution each : contributions) {
      if (!names.add(each.name())) {
        throw new IllegalArgumentException("two contributions \"" + each.name() + "\"");
      }
    }
    return budget;
  }

  /** Of independent contributions. */
  public static Budget of(Contribution... contributions) {
    return of(Arrays.asList(contributions));
  }

  /**
   * The same with two contributions correlated.
   *
   * @param coefficient from -1 to 1
   * @throws IllegalArgumentException if there is no such contribution, one has one side only, or no
   *     quantities can be correlated like that
   */
  public Budget correlated(String one, String other, double coefficient) {
    int i = index(one);
    int j = index(other);
    if (i == j || !(Math.abs(coefficient) <= 1)) {
      throw new IllegalArgumentException(
          "a correlation of " + coefficient + " between " + one + " and " + other);
    }
    if (contributions.get(i).side() != Side.BOTH || contributions.get(j).side() != Side.BOTH) {
      throw new IllegalArgumentException(
          "a correlation of " + one + " and " + other + ", of which one has one side only");
    }
    double[][] more = new double[contributions.size()][contributions.size()];
    for (int k = 0; k < more.length; k++) {
      more[k][k] = 1;
      if (!independent) {
        more[k] = correlations[k].clone();
      }
    }
    more[i][j] = coefficient;
    more[j][i] = coefficient;
    return new Budget(contributions, more, false);
  }

  private int index(String name) {
    for (int i = 0; i < contributions.size(); i++) {
      if (contributions.get(i).name().equals(name)) {
        return i;
      }
    }
    throw new IllegalArgumentException("no contribution \"" + name + "\"");
  }

  /** The lines, in their order. */
  public List<Contribution> contributions() {
    return contributions;
  }

  /** The combined standard uncertainty; the larger of the two sides. */
  public double standard() {
    return Math.max(standard(Side.BELOW), standard(Side.ABOVE));
  }

  /**
   * The combined standard uncertainty on one side of the figure.
   *
   * @param side BELOW or ABOVE
   */
  public double standard(Side side) {
    if (independent) {
      return Math.sqrt(squares(side));
    }
    requirePossible();
    double sum = 0;
    for (int i = 0; i < contributions.size(); i++) {
      for (int j = 0; j < contributions.size(); j++) {
        sum += correlations[i][j] * signed(i, side) * signed(j, side);
      }
    }
    return Math.sqrt(Math.max(0, sum));
  }

  private double squares(Side side) {
    double sum = 0;
    for (int i = 0; i < contributions.size(); i++) {
      double effect = signed(i, side);
      sum += effect * effect;
    }
    return sum;
  }

  /** What contribution brings, with its sign, as far as it counts on a side. */
  private double signed(int i, Side side) {
    Contribution each = contributions.get(i);
    Side on = each.effectSide();
    return on == Side.BOTH || on == side ? each.sensitivity() * each.standard() : 0;
  }

  private void requirePossible() {
    EigenDecomposition parts = new EigenDecomposition(new Array2DRowRealMatrix(correlations));
    for (double part : parts.getRealEigenvalues()) {
      if (part < -HAIR) {
        throw new IllegalArgumentException(
            "correlations that no quantities can have: "
                + Arrays.deepToString(correlations)
                + " of "
                + contributions.stream().map(Contribution::name).toList());
      }
    }
  }

  /** Effective degrees of freedom (JCGM 100:2008, G.2b); infinite if nothing limits them. */
  public double degreesOfFreedom() {
    Side side = standard(Side.BELOW) > standard(Side.ABOVE) ? Side.BELOW : Side.ABOVE;
    double whole = standard(side);
    double sum = 0;
    for (int i = 0; independent && i < contributions.size(); i++) {
      sum += Math.pow(signed(i, side), 4) / contributions.get(i).degreesOfFreedom();
    }
    for (List<Integer> group : groups()) {
      double variance = 0;
      double least = Double.POSITIVE_INFINITY;
      for (int i : group) {
        for (int j : group) {
          variance += correlations[i][j] * signed(i, side) * signed(j, side);
        }
        if (signed(i, side) != 0) {
          least = Math.min(least, contributions.get(i).degreesOfFreedom());
        }
      }
      sum += variance * variance / least;
    }
    return sum == 0 ? Double.POSITIVE_INFINITY : Math.pow(whole, 4) / sum;
  }

  /** Indices that hang together by correlations. */
  private List<List<Integer>> groups() {
    if (independent) {
      return List.of();
    }
    boolean[] seen = new boolean[contributions.size()];
    List<List<Integer>> groups = new ArrayList<>();
    for (int first = 0; first < seen.length; first++) {
      if (seen[first]) {
        continue;
      }
      List<Integer> group = new ArrayList<>(List.of(first));
      seen[first] = true;
      for (int at = 0; at < group.size(); at++) {
        for (int j = 0; j < seen.length; j++) {
          if (!seen[j] && correlations[group.get(at)][j] != 0) {
            seen[j] = true;
            group.add(j);
          }
        }
      }
      groups.add(group);
    }
    return groups;
  }

  /** The half-width of an interval that holds the truth with a probability; the wider side. */
  public double expanded(double probability) {
    return Coverage.factor(probability, degreesOfFreedom()) * standard();
  }

  /** The value that a measurement carries. */
  public Uncertainty uncertainty() {
    return Uncertainty.of(
        standard(Side.BELOW), standard(Side.ABOVE), degreesOfFreedom(), contributions);
  }
}
