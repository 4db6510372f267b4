package kitproof.signal;

/** Raised-cosine fades, so that a stimulus neither starts nor ends with a click. */
public final class Fade {
  private Fade() {}

  /**
   * A copy that rises over the first and falls over the last samples.
   *
   * @param rise samples until full level, zero or more
   * @param fall samples from full level to the end, zero or more; both together fit
   */
  public static double[] inAndOut(double[] samples, int rise, int fall) {
    if (rise < 0 || fall < 0 || (long) rise + fall > samples.length) {
      throw new IllegalArgumentException(
          "fades over " + rise + " and " + fall + " of " + samples.length + " samples");
    }
    double[] faded = samples.clone();
    for (int i = 0; i < rise; i++) {
      faded[i] *= gain((double) i / rise);
    }
    for (int i = 0; i < fall; i++) {
      faded[faded.length - 1 - i] *= gain((double) i / fall);
    }
    return faded;
  }

  /** From 0 at 0 to 1 at 1 and held outside, with level tangents at both. */
  static double gain(double position) {
    if (position <= 0 || position >= 1) {
      return position > 0 ? 1 : 0;
    }
    return (1 - Math.cos(Math.PI * position)) / 2;
  }
}
