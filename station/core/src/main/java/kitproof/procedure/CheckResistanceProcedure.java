package kitproof.procedure;

import java.util.List;
import java.util.Optional;
import kitproof.calibration.Known;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.uncertainty.AccuracyClass;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Whether a resistor that does not change, the check standard or a load, still reads what it read
 * at calibration.
 */
final class CheckResistanceProcedure implements Procedure<CheckResistanceProcedure.Settings> {
  private static final String RESULT = "check resistance";

  record Settings(
      @Meaning("the role of the meter") String meter,
      @Meaning("the meter's function: resistance, at the leads on the resistor")
          @Initially("resistance")
          String function,
      @Meaning("the meter's limits of error, such as \"±(0.05 % + 3 digits)\"") String limits,
      @Meaning("what one count of the meter's last digit is") @In(Unit.OHM) @Bounds(low = 1e-9)
          Quantity resolution,
      @Meaning("full scale of the meter's range, where its limits are a part of it") @In(Unit.OHM)
          @Nullable Quantity meterRange,
      @Meaning("the route that connects the resistor, as at calibration") String route,
      @Meaning("two wires: the route that puts the leads together") @Nullable String leadsTogether,
      @Meaning("what the contacts of clips or relays may add or take away, at most")
          @In(Unit.OHM)
          @Initially("0 ohm")
          @Bounds(low = 0)
          Quantity contact,
      @Meaning("by how much meter and resistor may have drifted since, at most")
          @In(Unit.PERCENT)
          @Initially("0.05 %")
          @Bounds(low = 0)
          Quantity drift,
      @Meaning("whether to stop the run where the station is out of its limits") @Initially("false")
          boolean stops,
      @Meaning("how many readings") @Initially("8") @Bounds(low = 3, high = 100) int repeats) {
    Settings {
      var unused =
          new ResistorReading(
              meter,
              function,
              AccuracyClass.parse(limits),
              resolution,
              meterRange,
              contact,
              repeats);
    }

    ResistorReading reading() {
      return new ResistorReading(
          meter, function, AccuracyClass.parse(limits), resolution, meterRange, contact, repeats);
    }
  }

  @Override
  public String id() {
    return "check-resistance";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    Conditions at = at(settings);
    return new Outline(
        List.of(
            new Outline.Promise(RESULT, at, Unit.OHM, false),
            new Outline.Promise(RESULT + NormalisedError.SUFFIX, at, Unit.ONE, false)),
        List.of(new Outline.Need(settings.meter, InstrumentKind.METER, settings.function)),
        false,
        Outline.MainsUse.COLD,
        settings.reading().expected().multipliedBy(2));
  }

  private static Conditions at(Settings settings) {
    return Conditions.of(CalibrateResistanceProcedure.ROUTE, settings.route);
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ResistorReading reading = settings.reading();
    String together = settings.leadsTogether;
    List<Double> leads =
        together == null ? List.of() : bench.rerouted(List.of(together), () -> reading.read(bench));
    List<Double> readings = bench.rerouted(List.of(settings.route), () -> reading.read(bench));
    double warmth =
        bench.calibration().map(c -> Warmth.percent(settings.route, bench, c)).orElse(0.0);
    double drift =
        (settings.drift.in(Unit.PERCENT) + warmth) / 100 * LineCalibration.mean(readings);
    Measurement found = reading.result(RESULT, at(settings), readings, leads, drift, bench);
    return StationCheck.checked(
        List.of(found, error(settings, bench, found)), settings.stops, bench);
  }

  /** Against the calibration, whose value may have changed with the room's temperature since. */
  private static Measurement error(Settings settings, StepBench bench, Measurement found) {
    Conditions at = bench.conditions().and(at(settings));
    Optional<Known> known = bench.calibration().flatMap(c -> c.resistance(settings.route));
    String room = bench.calibration().map(c -> Warmth.missing(settings.route, bench, c)).orElse("");
    if (known.isEmpty() || !room.isEmpty()) {
      return NormalisedError.missing(
          RESULT,
          at,
          known.isEmpty()
              ? "the calibration does not know \"" + settings.route + "\""
              : "for want of " + room);
    }
    return NormalisedError.result(RESULT, at, error(found, known.get()));
  }

  private static double error(Measurement found, Known calibrated) {
    Uncertainty uncertainty = found.uncertainty();
    double standard = uncertainty == null ? 0 : uncertainty.above(0);
    double ohms = found.figure() instanceof Figure.OfQuantity of ? of.quantity().value() : 0;
    return NormalisedError.of(ohms, standard, calibrated.value().value(), calibrated.standard());
  }
}
