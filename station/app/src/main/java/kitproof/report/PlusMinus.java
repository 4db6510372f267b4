package kitproof.report;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.Optional;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;

/**
 * The expanded uncertainty of a figure with a coverage factor of 2, as it is printed: two
 * significant digits, rounded up (JCGM 100:2008, 7.2.6 asks for no more than two).
 */
public final class PlusMinus {
  /** The coverage factor, said once beside a table. */
  public static final int COVERAGE_FACTOR = 2;

  private static final MathContext TWO_DIGITS = new MathContext(2, RoundingMode.UP);

  /** Sides that differ by less are told as one. */
  private static final double ALIKE = 1.05;

  private PlusMinus() {}

  /** "± 0.12 dB", or "+0.05 / −0.20 %"; empty if it is not known. */
  public static Optional<String> of(Measurement measurement) {
    Uncertainty uncertainty = measurement.uncertainty();
    if (uncertainty == null) {
      return Optional.empty();
    }
    if (measurement.figure() instanceof Figure.OfQuantity && most(uncertainty, 0) == 0) {
      return Optional.empty(); // a sign or a count
    }
    if (measurement.figure() instanceof Figure.OfQuantity of) {
      return words(uncertainty, 0, of.quantity().unit());
    }
    if (measurement.figure() instanceof Figure.OfCurve of && of.curve().size() > 0) {
      Curve curve = of.curve();
      int widest = 0;
      for (int i = 1; i < curve.size(); i++) {
        widest = most(uncertainty, i) > most(uncertainty, widest) ? i : widest;
      }
      return words(uncertainty, widest, curve.yUnit());
    }
    return Optional.empty();
  }

  /** The same where no table says the factor: "± 0.12 dB at k = 2"; empty if it is not known. */
  public static String withFactor(Measurement measurement) {
    return of(measurement).map(words -> words + " at k = " + COVERAGE_FACTOR).orElse("");
  }

  private static double most(Uncertainty of, int index) {
    return Math.max(of.below(index), of.above(index));
  }

  /** Empty of what somebody has made up and is too large to be doubled. */
  private static Optional<String> words(Uncertainty of, int index, Unit unit) {
    if (!Double.isFinite(COVERAGE_FACTOR * most(of, index))) {
      return Optional.empty();
    }
    double above = rounded(COVERAGE_FACTOR * of.above(index));
    double below = rounded(COVERAGE_FACTOR * of.below(index));
    if (above <= below * ALIKE && below <= above * ALIKE) {
      return Optional.of("\u00b1\u00a0" + told(Math.max(above, below), unit));
    }
    return Optional.of("+" + told(above, unit) + "\u00a0/ \u2212" + told(below, unit));
  }

  private static String told(double value, Unit unit) {
    // A difference of levels is in decibels, whatever they are relative to.
    Unit of = unit == Unit.DECIBEL_VOLT ? Unit.DECIBEL : unit;
    return Wording.set(Quantity.of(value, of).display(2));
  }

  private static double rounded(double value) {
    return BigDecimal.valueOf(value).round(TWO_DIGITS).doubleValue();
  }
}
