package kitproof.report;

import java.util.List;
import java.util.Locale;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/**
 * A figure as a customer reads it, and the results that it is taken from.
 *
 * @param label for the customer
 * @param result the result's name in records
 * @param family whether results whose names only begin so, such as "output impedance at 1 kHz", are
 *     this figure too
 * @param when conditions it must hold under to be this figure
 */
record HeadlineFigure(String label, String result, boolean family, Conditions when) {
  private static final Conditions ONE_WATT = Conditions.of("power", "1 W");

  /** In the order in which they are told. */
  static final List<HeadlineFigure> ALL =
      List.of(
          one("Output power at 1 % THD + noise", "power at 1 %"),
          one("Clipping power, at 3 % THD + noise", "clipping power"),
          one("Gain", "gain"),
          one("Input sensitivity", "input sensitivity"),
          one("Response, lower corner", "lower corner"),
          one("Response, upper corner", "upper corner"),
          new HeadlineFigure("THD + noise at 1 W", "thd+n", false, ONE_WATT),
          new HeadlineFigure("THD at 1 W", "thd", false, ONE_WATT),
          family("Output impedance"),
          family("Damping factor"),
          family("Noise"),
          family("Signal-to-noise ratio"),
          one("Hum", "hum"),
          one("Hum", "total hum"),
          family("Crosstalk"),
          family("Channel balance"));

  private static HeadlineFigure one(String label, String result) {
    return new HeadlineFigure(label, result, false, Conditions.NONE);
  }

  private static HeadlineFigure family(String label) {
    return new HeadlineFigure(label, label.toLowerCase(Locale.ROOT), true, Conditions.NONE);
  }

  /** Whether a measurement is this figure: one number, or the lack of one. */
  boolean is(Measurement measurement) {
    String name = measurement.name();
    return (name.equals(result) || (family && name.startsWith(result + " ")))
        && measurement.conditions().satisfy(when)
        && !(measurement.figure() instanceof Figure.OfCurve);
  }

  /** "Output impedance at 1 kHz" of the result of that name. */
  String label(String name) {
    return Wording.set(label + name.substring(result.length()));
  }
}
