package kitproof.limit;

import org.jspecify.annotations.Nullable;

/**
 * What a limit says of a measurement.
 *
 * @param outcome pass, fail, in the guard band, or not judged
 * @param limit the limit applied, or null if there was none
 * @param detail for people: what was wrong ("25.1 dB is below 26 dB", "at 31.5 Hz …"), what is good
 *     ("26 dB to 27.6 dB") if it passed, or why it is not judged
 * @param guard of guarded acceptance, how it was guarded; null with simple acceptance
 */
public record Judgement(
    Outcome outcome, @Nullable Limit limit, String detail, @Nullable Guard guard) {
  /** By simple acceptance, or not judged. */
  public Judgement(Outcome outcome, @Nullable Limit limit, String detail) {
    this(outcome, limit, detail, null);
  }

  /**
   * How a value was guarded; of a curve, at the point that decided.
   *
   * @param low width of the guard band above the low limit, in the figure's unit
   * @param high width of the guard band below the high limit
   * @param conformance the probability that the truth is within the limits
   * @param required the least probability of conformance with which a value is accepted
   */
  public record Guard(double low, double high, double conformance, double required) {
    /** What ISO 14253-1:2017 asks for where nothing else is agreed (from memory). */
    public static final double USUAL = 0.95;

    /** Of the usual probability. */
    public Guard(double low, double high, double conformance) {
      this(low, high, conformance, USUAL);
    }

    /** The probability that an acceptance of this value is false. */
    public double falseAccept() {
      return 1 - conformance;
    }

    /** The probability that a rejection of this value is false. */
    public double falseReject() {
      return conformance;
    }
  }

  /** The four outcomes. */
  public enum Outcome {
    PASS("pass"),
    FAIL("fail"),
    GUARD_BAND("in the guard band"),
    NOT_JUDGED("not judged");

    private final String word;

    Outcome(String word) {
      this.word = word;
    }

    /** Whether the limit was not met for certain, so that the unit fails. */
    public boolean fails() {
      return this == FAIL || this == GUARD_BAND;
    }

    /** The word in files and on screens. */
    @Override
    public String toString() {
      return word;
    }
  }
}
