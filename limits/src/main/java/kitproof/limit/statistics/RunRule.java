package kitproof.limit.statistics;

/**
 * Patterns that points of a control chart seldom make by chance.
 *
 * <p>Zone limits are strict, and a point on the centre line belongs to neither side. Western
 * Electric, Statistical Quality Control Handbook (1956); Nelson, Journal of Quality Technology 16
 * (1984) 237; NIST/SEMATECH e-Handbook 6.3.2.
 */
public enum RunRule {
  /** Western Electric 1. */
  BEYOND_LIMITS("1 point beyond 3 sigma"),
  /** Western Electric 2. */
  TWO_OF_THREE("2 of 3 points beyond 2 sigma on one side"),
  /** Western Electric 3. */
  FOUR_OF_FIVE("4 of 5 points beyond 1 sigma on one side"),
  /** Western Electric 4. */
  EIGHT_ON_ONE_SIDE("8 points on one side of the centre"),
  /** Nelson 2. */
  NINE_ON_ONE_SIDE("9 points on one side of the centre"),
  /** Nelson 3. */
  SIX_RISING_OR_FALLING("6 points steadily rising or falling"),
  /** Nelson 4. */
  FOURTEEN_ALTERNATING("14 points up and down in turn"),
  /** Nelson 7. */
  FIFTEEN_NEAR_CENTRE("15 points within 1 sigma of the centre"),
  /** Nelson 8. */
  EIGHT_AWAY_FROM_CENTRE("8 points beyond 1 sigma, on both sides");

  private final String words;

  RunRule(String words) {
    this.words = words;
  }

  /** In words, for people. */
  @Override
  public String toString() {
    return words;
  }

  /**
   * Whether the pattern ends at a point.
   *
   * @param z the points in standard deviations from the centre
   * @param last the index of the point
   */
  boolean endsAt(double[] z, int last) {
    return switch (this) {
      case BEYOND_LIMITS -> Math.abs(z[last]) > 3;
      case TWO_OF_THREE -> someBeyond(z, last, 3, 2, 2);
      case FOUR_OF_FIVE -> someBeyond(z, last, 5, 4, 1);
      case EIGHT_ON_ONE_SIDE -> oneSide(z, last, 8);
      case NINE_ON_ONE_SIDE -> oneSide(z, last, 9);
      case SIX_RISING_OR_FALLING -> steps(z, last, 6, 1);
      case FOURTEEN_ALTERNATING -> steps(z, last, 14, -1);
      case FIFTEEN_NEAR_CENTRE -> near(z, last, 15);
      case EIGHT_AWAY_FROM_CENTRE -> away(z, last, 8);
    };
  }

  /** The last and at least {@code wanted} of {@code of} points beyond a zone limit on its side. */
  private static boolean someBeyond(double[] z, int last, int of, int wanted, double limit) {
    double side = Math.signum(z[last]);
    int beyond = 0;
    for (int i = Math.max(0, last - of + 1); i <= last; i++) {
      if (side * z[i] > limit) {
        beyond++;
      }
    }
    return side * z[last] > limit && beyond >= wanted;
  }

  private static boolean oneSide(double[] z, int last, int count) {
    double side = Math.signum(z[last]);
    if (last + 1 < count || side == 0) {
      return false;
    }
    for (int i = last - count + 1; i < last; i++) {
      if (Math.signum(z[i]) != side) {
        return false;
      }
    }
    return true;
  }

  /** Whether each step goes the way of the one before it (1), or the other way (−1). */
  private static boolean steps(double[] z, int last, int count, int turn) {
    if (last + 1 < count) {
      return false;
    }
    double way = Math.signum(z[last] - z[last - 1]);
    if (way == 0) {
      return false;
    }
    for (int i = last - 1; i > last - count + 1; i--) {
      way *= turn;
      if (Math.signum(z[i] - z[i - 1]) != way) {
        return false;
      }
    }
    return true;
  }

  private static boolean near(double[] z, int last, int count) {
    if (last + 1 < count) {
      return false;
    }
    for (int i = last - count + 1; i <= last; i++) {
      if (!(Math.abs(z[i]) < 1)) {
        return false;
      }
    }
    return true;
  }

  private static boolean away(double[] z, int last, int count) {
    if (last + 1 < count) {
      return false;
    }
    boolean above = false;
    boolean below = false;
    for (int i = last - count + 1; i <= last; i++) {
      if (!(Math.abs(z[i]) > 1)) {
        return false;
      }
      above |= z[i] > 0;
      below |= z[i] < 0;
    }
    return above && below;
  }
}
