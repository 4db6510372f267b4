package kitproof.procedure;

import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.calibration.Room;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * What the room's temperature, another than at the calibration, may have made of a resistor whose
 * route in the bench file says how much it changes. Its own heating is not reckoned.
 */
final class Warmth {
  private Warmth() {}

  /** As a factor of a budget; exact where the bench file says nothing. */
  static Factor of(String route, StepBench bench, Calibration calibration) {
    if (bench.loadPerKelvin(route).isEmpty()) {
      return Factor.EXACT;
    }
    String missing = missing(route, bench, calibration);
    return missing.isEmpty()
        ? Factor.of(
            Contribution.within(
                "temperature of " + route,
                Distribution.RECTANGULAR,
                percent(route, bench, calibration),
                Unit.PERCENT),
            100)
        : Factor.lacking(missing);
  }

  /** What must be known of the room and is not; empty if nothing is missing. */
  static String missing(String route, StepBench bench, Calibration calibration) {
    if (bench.loadPerKelvin(route).isEmpty()) {
      return "";
    }
    if (now(bench).isEmpty()) {
      return "the " + Room.TEMPERATURE + " in an earlier step";
    }
    return calibration.roomTemperature().isEmpty()
        ? "the " + Room.TEMPERATURE + " when calibrated"
        : "";
  }

  /** The most that it may have changed, percent; zero where nothing is said or known. */
  static double percent(String route, StepBench bench, Calibration calibration) {
    Optional<Quantity> now = now(bench);
    Optional<Quantity> then = calibration.roomTemperature();
    return now.isEmpty() || then.isEmpty()
        ? 0
        : Math.abs(now.get().value() - then.get().value())
            * bench.loadPerKelvin(route).map(most -> most.in(Unit.PERCENT)).orElse(0.0);
  }

  /** The room as an earlier step of the run has asked or read it, the last that did. */
  private static Optional<Quantity> now(StepBench bench) {
    return bench.earlier().stream()
        .filter(m -> m.name().equals(Room.TEMPERATURE))
        .map(Measurement::figure)
        .filter(Figure.OfQuantity.class::isInstance)
        .map(figure -> ((Figure.OfQuantity) figure).quantity())
        .filter(quantity -> quantity.unit() == Unit.CELSIUS)
        .reduce((earlier, later) -> later);
  }
}
