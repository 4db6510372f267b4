package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.driver.InstrumentException;
import kitproof.uncertainty.AccuracyClass;
import kitproof.uncertainty.Budget;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * A resistor of the bench by an ohmmeter: the mean of readings, less that of the leads put together
 * where there are two wires only, and what makes it uncertain.
 *
 * @param meter the meter's role
 * @param function its function
 * @param limits its limits of error
 * @param resolution one count of its last digit
 * @param meterRange full scale of its range; null where the limits are no part of it
 * @param contact half-width of what contacts may add or take away
 * @param repeats how many readings
 */
record ResistorReading(
    String meter,
    String function,
    AccuracyClass limits,
    Quantity resolution,
    @Nullable Quantity meterRange,
    Quantity contact,
    int repeats) {
  private static final Duration EVERY = Duration.ofMillis(100);

  ResistorReading {
    if (!limits.notIn(Unit.OHM).isEmpty()) {
      throw new IllegalArgumentException("limits in ohms, parts or digits");
    }
    if (limits.needsRange() && meterRange == null) {
      throw new IllegalArgumentException("meter-range, of which the limits are a part");
    }
  }

  /** How long it takes, about. */
  Duration expected() {
    return EVERY.plusMillis(200).multipliedBy(repeats);
  }

  /** The readings at what is connected now, ohms. */
  List<Double> read(StepBench bench) throws InstrumentException, InterruptedException {
    MeanReading mean =
        MeanReading.of(Meters.series(bench, bench.meter(meter), function, repeats, EVERY));
    if (!mean.trouble().isEmpty()) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          "no resistance at the leads: "
              + mean.trouble()
              + ". Are they on it, the unit off the bench and nothing else across it?");
    }
    return mean.values();
  }

  /**
   * The resistance.
   *
   * @param readings at the resistor
   * @param leads with the leads put together; empty with four wires
   * @param drift half-width of what it may have changed by since; 0 if it is to hold now
   * @param bench where it was read, under its conditions and more
   */
  Measurement result(
      String name,
      Conditions more,
      List<Double> readings,
      List<Double> leads,
      double drift,
      StepBench bench)
      throws InstrumentException {
    double shown = LineCalibration.mean(readings);
    double value = leads.isEmpty() ? shown : shown - LineCalibration.mean(leads);
    if (!(value > 0)) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          "no resistance is left of " + shown + " ohm with the leads taken out");
    }
    List<Contribution> lines = lines(readings, leads, shown, drift);
    lines.addAll(MeterTrust.correction(bench.papers(meter), meter, function, Unit.OHM));
    return Measurement.of(name, bench.conditions().and(more), Quantity.of(value, Unit.OHM))
        .with(Budget.of(lines).uncertainty());
  }

  private List<Contribution> lines(
      List<Double> readings, List<Double> leads, double shown, double drift) {
    List<Contribution> lines = new ArrayList<>();
    lines.add(observed("repeats", readings));
    lines.add(
        limits.contribution(
            "limits of error of " + meter,
            shown,
            meterRange == null ? 0 : meterRange.value(),
            resolution.value(),
            Unit.OHM));
    lines.add(within("last digit of " + meter, resolution.value() / 2));
    if (!leads.isEmpty()) {
      lines.add(observed("leads put together", leads));
      lines.add(within("last digit with the leads put together", resolution.value() / 2));
    }
    if (contact.value() > 0) {
      lines.add(within("contacts", contact.value()));
    }
    if (drift > 0) {
      lines.add(within("drift", drift));
    }
    return lines;
  }

  private static Contribution observed(String name, List<Double> values) {
    return Contribution.observed(name, LineCalibration.deviation(values), values.size(), Unit.OHM);
  }

  private static Contribution within(String name, double halfWidth) {
    return Contribution.within(name, Distribution.RECTANGULAR, halfWidth, Unit.OHM);
  }
}
