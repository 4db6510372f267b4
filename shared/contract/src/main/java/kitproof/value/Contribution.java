package kitproof.value;

/**
 * One line of an uncertainty budget: what makes a figure uncertain, and by how much.
 *
 * @param name what it is, for people, such as "full scale of input left"
 * @param evaluation from observations of its own, or from other knowledge
 * @param distribution what is known of its form
 * @param side whether the truth may lie on both sides of the estimate, or on one only
 * @param standard its standard uncertainty in its own unit, not negative; of a one-sided one the
 *     root of the mean square distance from the estimate
 * @param unit its own unit
 * @param sensitivity change of the figure per change of this, in the figure's unit per own unit
 * @param degreesOfFreedom how well the standard uncertainty itself is known, above zero; infinite
 *     if it is taken as certain
 */
public record Contribution(
    String name,
    Evaluation evaluation,
    Distribution distribution,
    Side side,
    double standard,
    Unit unit,
    double sensitivity,
    double degreesOfFreedom) {

  /** How a standard uncertainty was found (JCGM 100:2008, 4.2 and 4.3). */
  public enum Evaluation {
    /** By statistics of repeated observations. */
    TYPE_A("A"),
    /** By any other knowledge: a certificate, a specification, experience. */
    TYPE_B("B");

    private final String word;

    Evaluation(String word) {
      this.word = word;
    }

    @Override
    public String toString() {
      return word;
    }
  }

  /** The forms that are told apart, with what a half-width is divided by (JCGM 100:2008, 4.3). */
  public enum Distribution {
    NORMAL("normal", 1),
    /** Anywhere within bounds, equally likely. */
    RECTANGULAR("rectangular", Math.sqrt(3)),
    /** The sum of two equal rectangular ones. */
    TRIANGULAR("triangular", Math.sqrt(6)),
    /** A sine of unknown phase: most likely at its bounds. */
    ARCSINE("arcsine", Math.sqrt(2)),
    /** Known in size and not corrected: the truth is that far away (JCGM 100:2008, F.2.4.5). */
    OFFSET("offset, not corrected", 1);

    private final String word;
    private final double divisor;

    Distribution(String word, double divisor) {
      this.word = word;
      this.divisor = divisor;
    }

    /** The half-width over the standard deviation; 1 for a normal one, which has no half-width. */
    public double divisor() {
      return divisor;
    }

    @Override
    public String toString() {
      return word;
    }
  }

  /** Where the truth may lie. */
  public enum Side {
    BOTH("both"),
    BELOW("below"),
    ABOVE("above");

    private final String word;

    Side(String word) {
      this.word = word;
    }

    /** The side of the figure where this counts, if the figure falls while this rises. */
    Side opposite() {
      return this == BELOW ? ABOVE : this == ABOVE ? BELOW : BOTH;
    }

    @Override
    public String toString() {
      return word;
    }
  }

  public Contribution {
    if (!(standard >= 0) || !Double.isFinite(standard)) {
      throw new IllegalArgumentException(name + ": a standard uncertainty of " + standard);
    }
    if (!Double.isFinite(sensitivity)) {
      throw new IllegalArgumentException(name + ": a sensitivity of " + sensitivity);
    }
    if (!(degreesOfFreedom > 0)) {
      throw new IllegalArgumentException(name + ": " + degreesOfFreedom + " degrees of freedom");
    }
  }

  /** Taken as certain in its size, on both sides, with a sensitivity of one. */
  public static Contribution known(
      String name, Distribution distribution, double standard, Unit unit) {
    return new Contribution(
        name,
        Evaluation.TYPE_B,
        distribution,
        Side.BOTH,
        standard,
        unit,
        1,
        Double.POSITIVE_INFINITY);
  }

  /**
   * Within bounds on both sides.
   *
   * @param halfWidth the most that the truth is away from the estimate, not negative
   */
  public static Contribution within(
      String name, Distribution distribution, double halfWidth, Unit unit) {
    if (distribution == Distribution.NORMAL) {
      throw new IllegalArgumentException(name + ": a normal distribution has no half-width");
    }
    return known(name, distribution, halfWidth / distribution.divisor(), unit);
  }

  /**
   * The mean of observations (JCGM 100:2008, 4.2).
   *
   * @param deviation standard deviation of the single observations
   * @param count how many there are, at least 2
   */
  public static Contribution observed(String name, double deviation, int count, Unit unit) {
    if (count < 2) {
      throw new IllegalArgumentException(name + ": " + count + " observations have no spread");
    }
    return new Contribution(
        name,
        Evaluation.TYPE_A,
        Distribution.NORMAL,
        Side.BOTH,
        deviation / Math.sqrt(count),
        unit,
        1,
        count - 1);
  }

  /** The same with another sensitivity. */
  public Contribution times(double newSensitivity) {
    return new Contribution(
        name, evaluation, distribution, side, standard, unit, newSensitivity, degreesOfFreedom);
  }

  /** The same by another name. */
  public Contribution named(String other) {
    return new Contribution(
        other, evaluation, distribution, side, standard, unit, sensitivity, degreesOfFreedom);
  }

  /** The same with the truth on one side only. */
  public Contribution on(Side only) {
    return new Contribution(
        name, evaluation, distribution, only, standard, unit, sensitivity, degreesOfFreedom);
  }

  /** The same with a stated number of degrees of freedom. */
  public Contribution with(double newDegreesOfFreedom) {
    return new Contribution(
        name, evaluation, distribution, side, standard, unit, sensitivity, newDegreesOfFreedom);
  }

  /**
   * The same with the degrees of freedom of a standard uncertainty that is itself known to so much
   * (JCGM 100:2008, G.4.2).
   *
   * @param relative of its size, such as 0.25, above zero
   */
  public Contribution knownTo(double relative) {
    return with(0.5 / (relative * relative));
  }

  /** What it brings to the figure: standard uncertainty in the figure's unit, not negative. */
  public double effect() {
    return Math.abs(sensitivity) * standard;
  }

  /** The side of the figure on which it counts. */
  public Side effectSide() {
    return sensitivity < 0 ? side.opposite() : side;
  }
}
