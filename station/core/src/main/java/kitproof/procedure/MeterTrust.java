package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.signal.Spread;
import kitproof.value.Contribution;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * How well a step knows what a meter reads: by the limits of error that its maker states, by the
 * last digit that it shows, and by how much its readings differed.
 */
final class MeterTrust {
  /** The line of a budget that its maker's limits of error bring begins with this. */
  static final String LIMITS = "limits of error of ";

  private static final String LAST_DIGIT = "last digit of ";

  private final Optional<Calibration> calibration;
  private final String role;
  private final String function;

  private MeterTrust(Optional<Calibration> calibration, String role, String function) {
    this.calibration = calibration;
    this.role = role;
    this.function = function;
  }

  static MeterTrust of(Optional<Calibration> calibration, String role, String function) {
    return new MeterTrust(calibration, role, function);
  }

  static MeterTrust of(StepBench bench, String role, String function) {
    return new MeterTrust(bench.calibration(), role, function);
  }

  /** Whether a line of a budget is what its maker's limits of error bring. */
  static boolean isLimits(Contribution line) {
    return line.name().startsWith(LIMITS);
  }

  /** What there is of one reading of this value. */
  Budgeted reading(Quantity value) {
    Calibration by = calibration.orElseThrow();
    Optional<Contribution> limits = by.meter(role, function, value);
    if (limits.isEmpty()) {
      return Budgeted.lacking("the limits of error of " + role + ", " + function);
    }
    List<Contribution> lines = new ArrayList<>();
    lines.add(
        Contribution.known(
            LIMITS + role + ", " + function,
            limits.get().distribution(),
            limits.get().standard(),
            limits.get().unit()));
    by.resolution(role, function)
        .filter(digit -> digit.unit() == value.unit())
        .ifPresent(
            digit ->
                lines.add(
                    Contribution.within(
                        LAST_DIGIT + role + ", " + function,
                        Contribution.Distribution.RECTANGULAR,
                        digit.value() / 2,
                        value.unit())));
    lines.addAll(correction(calibration, role, function, value.unit()));
    return Budgeted.of(lines);
  }

  /** What the correction of a meter's readings leaves of them, in this unit; one line or none. */
  static List<Contribution> correction(
      Optional<Calibration> by, String role, String function, Unit unit) {
    return by
        .flatMap(calibration -> calibration.correctionStandard(role, function))
        .filter(u -> u.unit() == unit)
        .map(
            u ->
                Contribution.known(
                    "correction of " + role + ", " + function,
                    Contribution.Distribution.NORMAL,
                    u.value(),
                    u.unit()))
        .stream()
        .toList();
  }

  /**
   * What there is of the mean of readings.
   *
   * @param values in the unit, at least one
   */
  Budgeted mean(double[] values, Unit unit) {
    Spread spread = Spread.of(values);
    Budgeted one = reading(Quantity.of(spread.mean(), unit));
    return spread.count() < 2
        ? one
        : one.and(
            Contribution.observed(
                "spread of the readings of " + role + ", " + function,
                spread.standardDeviation(),
                spread.count(),
                unit));
  }

  /**
   * What there is of a change within readings of one meter in one range: what its limits of error
   * leave of an offset is the same in all, so that they count by as much of the readings as
   * changed; the last digit does not follow.
   */
  Budgeted change(double[] values, double change, Unit unit) {
    double most = 0;
    for (double value : values) {
      most = Math.max(most, Math.abs(value));
    }
    Budgeted whole = reading(Quantity.of(most, unit));
    List<Contribution> lines = new ArrayList<>();
    for (Contribution line : whole.lines()) {
      boolean digit = line.name().startsWith(LAST_DIGIT);
      lines.add(line.times(digit ? Math.sqrt(2) : most == 0 ? 1 : Math.abs(change) / most));
    }
    return new Budgeted(lines, whole.lacking());
  }

  /** A mean of readings with what is known of it, on a calibrated bench. */
  Measurement known(Measurement mean, double[] values) {
    return calibration.isEmpty() ? mean : Budgeted.on(mean, value -> mean(values, value.unit()));
  }

  /** A figure that rests on one reading of its own value. */
  Measurement known(Measurement reading) {
    return calibration.isEmpty() ? reading : Budgeted.on(reading, this::reading);
  }

  /** A curve of single readings. */
  Measurement knownCurve(Measurement readings) {
    if (calibration.isEmpty() || !(readings.figure() instanceof Figure.OfCurve of)) {
      return readings;
    }
    Curve curve = of.curve();
    return Budgeted.onCurve(readings, i -> reading(Quantity.of(curve.y(i), curve.yUnit())));
  }

  /** A figure made of what this meter read, on a calibrated bench. */
  Measurement known(Measurement figure, Budgeted.OfValue budget) {
    return calibration.isEmpty() ? figure : Budgeted.on(figure, budget);
  }
}
