package kitproof.procedure;

import java.util.Arrays;
import java.util.Locale;
import kitproof.signal.Levels;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** Says of figures that they are limited by the station's own residual, where they are. */
final class OwnResidual {
  private OwnResidual() {}

  /**
   * The measurement, with a note if its reading is near what the station itself would show.
   *
   * @param reading a ratio
   * @param own the station's own, 0 if it is not known
   */
  static Measurement noted(Measurement measurement, double reading, double own) {
    return limits(reading, own)
        ? measurement.noted(
            "limited by the station, whose own residual is "
                + Quantity.of(round(100 * own), Unit.PERCENT)
                + " here")
        : measurement;
  }

  /**
   * A noise, or a ratio of a level to it, with a note if it is near the station's own.
   *
   * @param volts the noise that was measured, rms
   * @param own the station's own, 0 if it is not known
   */
  static Measurement notedNoise(Measurement measurement, double volts, double own) {
    return limits(volts, own)
        ? measurement.noted(
            String.format(
                Locale.ROOT,
                "limited by the station, whose own noise is %.1f dBV here",
                Levels.db(own)))
        : measurement;
  }

  /**
   * A curve in dBV, with a note if it is near the station's own at some of its points.
   *
   * @param own the station's own at each point, rms volts
   */
  static Measurement notedNoise(Measurement measurement, double[] own) {
    return noted(measurement, own, "noise");
  }

  /** A figure of crosstalk in dB, with a note if it is near the station's own leakage. */
  static Measurement notedLeakage(Measurement measurement, double own) {
    return measurement.figure() instanceof Figure.OfQuantity of
            && limits(ratio(of.quantity().value(), of.quantity().unit()), own)
        ? measurement.noted(
            String.format(
                Locale.ROOT,
                "limited by the station, whose own leakage is %.1f dB here",
                Levels.db(own)))
        : measurement;
  }

  /**
   * A figure or curve in percent or dB, with a note if it is near what the station itself would
   * show, or is so at some of its points.
   *
   * @param own the station's own as a ratio, 0 if it is not known
   */
  static Measurement noted(Measurement measurement, double own) {
    if (measurement.figure() instanceof Figure.OfQuantity of) {
      return noted(measurement, ratio(of.quantity().value(), of.quantity().unit()), own);
    }
    if (measurement.figure() instanceof Figure.OfCurve of) {
      double[] everywhere = new double[of.curve().size()];
      Arrays.fill(everywhere, own);
      return noted(measurement, everywhere);
    }
    return measurement;
  }

  /**
   * A curve in percent or dB, with a note if the station limits some of its points.
   *
   * @param own the station's own at each point, as ratios
   */
  static Measurement noted(Measurement measurement, double[] own) {
    return noted(measurement, own, "residual");
  }

  /** A curve of crosstalk in dB, likewise, and the station's own leakage between the channels. */
  static Measurement notedLeakage(Measurement measurement, double[] own) {
    return noted(measurement, own, "leakage");
  }

  private static Measurement noted(Measurement measurement, double[] own, String what) {
    if (!(measurement.figure() instanceof Figure.OfCurve of)) {
      return measurement;
    }
    Curve curve = of.curve();
    int limited = 0;
    double last = 0;
    for (int i = 0; i < curve.size(); i++) {
      if (limits(ratio(curve.y(i), curve.yUnit()), own[i])) {
        limited++;
        last = curve.x(i);
      }
    }
    return limited == 0
        ? measurement
        : measurement.noted(
            String.format(
                Locale.ROOT,
                "limited by the station's own %s at %d of %d points, the last at %s",
                what,
                limited,
                curve.size(),
                Quantity.of(last, curve.xUnit()).display()));
  }

  private static double ratio(double value, Unit unit) {
    return unit == Unit.PERCENT ? value / 100 : Levels.ratio(value);
  }

  private static boolean limits(double reading, double own) {
    return own > 0 && reading <= StationResidual.LIMITS_BELOW * own;
  }

  /** Two significant digits: it is no more than an estimate. */
  private static double round(double percent) {
    return Double.parseDouble(String.format(Locale.ROOT, "%.1e", percent));
  }
}
