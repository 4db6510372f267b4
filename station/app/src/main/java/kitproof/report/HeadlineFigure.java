package kitproof.report;

import java.util.List;
import java.util.Optional;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/**
 * A figure as a customer reads it, and the result that it is taken from.
 *
 * @param label for the customer
 * @param result the result's name in records
 * @param when conditions it must hold under to be this figure
 */
record HeadlineFigure(String label, String result, Conditions when) {
  private static final Conditions ONE_WATT = Conditions.of("power", "1 W");

  /** In the order in which they are told. */
  static final List<HeadlineFigure> ALL =
      List.of(
          of("Output power at 1 % THD", "power at 1 %"),
          of("Clipping power, at 3 % THD", "power at 3 %"),
          of("Gain", "gain"),
          of("Input sensitivity", "input sensitivity"),
          of("Response, lower corner", "lower corner"),
          of("Response, upper corner", "upper corner"),
          new HeadlineFigure("THD + noise at 1 W", "thd+n", ONE_WATT),
          new HeadlineFigure("THD at 1 W", "thd", ONE_WATT),
          of("Output impedance", "output impedance"),
          of("Damping factor", "damping factor"),
          of("Noise, A-weighted", "noise a-weighted"),
          of("Noise", "noise"),
          of("Hum", "hum"),
          of("Signal-to-noise ratio", "signal-to-noise ratio"),
          of("Crosstalk", "crosstalk"),
          of("Channel balance", "channel balance"));

  private static HeadlineFigure of(String label, String result) {
    return new HeadlineFigure(label, result, Conditions.NONE);
  }

  /** Whether a measurement is this figure: one number, or the lack of one. */
  boolean is(Measurement measurement) {
    return measurement.name().equals(result)
        && measurement.conditions().satisfy(when)
        && !(measurement.figure() instanceof Figure.OfCurve);
  }

  /** The first of these that is this figure under these conditions. */
  Optional<Measurement> among(List<Measurement> measured, Conditions conditions) {
    return measured.stream()
        .filter(this::is)
        .filter(m -> m.conditions().satisfy(conditions))
        .findFirst();
  }
}
