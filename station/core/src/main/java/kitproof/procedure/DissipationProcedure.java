package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.signal.Spread;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * What an output valve dissipates at idle: cathode current from the voltage across its cathode
 * resistor, times the voltage from anode to cathode, and that as a share of the valve's maximum.
 *
 * <p>The cathode's current includes the screen's, so that the figure is a little high, on the safe
 * side (common practice, no source). The anode meter may be on the HV rail: what the output
 * transformer drops at idle is left out, on the same side.
 */
final class DissipationProcedure implements Procedure<DissipationProcedure.Settings> {
  record Settings(
      @Meaning("the role of the meter at the cathode") String meter,
      @Meaning("its function") String function,
      @Meaning("the valve's cathode resistor") @In(Unit.OHM) @Bounds(low = 0.001)
          Quantity cathodeResistor,
      @Meaning(
              "the most that the resistor is off by; without it the uncertainty of the figures is not"
                  + " known")
          @In(Unit.PERCENT)
          @Bounds(low = 0)
          @Nullable Quantity resistorWithin,
      @Meaning("the role of the meter at the anode, or on the HV rail") String anodeMeter,
      @Meaning("its function") String anodeFunction,
      @Meaning("the anode dissipation that the valve stands") @In(Unit.WATT) @Bounds(low = 0.001)
          Quantity maximum,
      @Meaning("the result's name; first words of the share's") @Initially("dissipation")
          String result,
      @Meaning("the name of the cathode current") @Initially("idle current") String currentResult,
      @Meaning("how many readings of each") @Initially("3") @Bounds(low = 1, high = 1000) int count,
      @Meaning("from one reading to the next") @Initially("200 ms") @Bounds(low = 0.001)
          Duration every) {}

  @Override
  public String id() {
    return "dissipation";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    return new Outline(
        List.of(
            new Outline.Promise(settings.currentResult, Conditions.NONE, Unit.AMPERE, false)
                .known(Outline.Basis.METER),
            new Outline.Promise(settings.result, Conditions.NONE, Unit.WATT, false)
                .known(Outline.Basis.METER),
            new Outline.Promise(settings.result + " share", Conditions.NONE, Unit.PERCENT, false)
                .known(Outline.Basis.METER)),
        List.of(
            new Outline.Need(settings.meter, InstrumentKind.METER, settings.function),
            new Outline.Need(settings.anodeMeter, InstrumentKind.METER, settings.anodeFunction)),
        false,
        Outline.MainsUse.NONE,
        settings.every.multipliedBy(settings.count).multipliedBy(2));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    Meter cathode = bench.meter(settings.meter);
    Meter anode = bench.meter(settings.anodeMeter);
    List<Meters.Sample> samples = new ArrayList<>();
    samples.addAll(
        Meters.series(bench, cathode, settings.function, settings.count, settings.every));
    samples.addAll(
        Meters.series(bench, anode, settings.anodeFunction, settings.count, settings.every));
    Conditions conditions = bench.conditions();
    for (Meters.Sample sample : samples) {
      if (!sample.good()) {
        return List.of(
            Measurement.invalid(settings.currentResult, conditions, sample.trouble()),
            Measurement.invalid(settings.result, conditions, sample.trouble()),
            Measurement.invalid(settings.result + " share", conditions, sample.trouble()));
      }
    }
    double[] cathodes = volts(samples.subList(0, settings.count));
    double[] anodes = volts(samples.subList(settings.count, samples.size()));
    double cathodeVolts = Spread.of(cathodes).mean();
    double anodeVolts = Spread.of(anodes).mean();
    double ohms = settings.cathodeResistor.in(Unit.OHM);
    double amperes = cathodeVolts / ohms;
    double watts = (anodeVolts - cathodeVolts) * amperes;
    double share = 100 * watts / settings.maximum.in(Unit.WATT);
    Measurement current =
        Measurement.of(settings.currentResult, conditions, Quantity.of(amperes, Unit.AMPERE));
    Measurement power = Measurement.of(settings.result, conditions, Quantity.of(watts, Unit.WATT));
    Measurement part =
        Measurement.of(settings.result + " share", conditions, Quantity.of(share, Unit.PERCENT));
    if (bench.calibration().isEmpty()) {
      return List.of(current, power, part);
    }
    Budgeted ofCathode =
        MeterTrust.of(bench, settings.meter, settings.function).mean(cathodes, Unit.VOLT);
    Budgeted ofPower =
        addedUp(
                settings,
                ofCathode.scaled((anodeVolts - 2 * cathodeVolts) / ohms),
                MeterTrust.of(bench, settings.anodeMeter, settings.anodeFunction)
                    .mean(anodes, Unit.VOLT)
                    .scaled(amperes))
            .and(resistor(settings).scaled(watts));
    return List.of(
        Budgeted.on(
            current, value -> ofCathode.scaled(1 / ohms).and(resistor(settings).scaled(amperes))),
        Budgeted.on(power, value -> ofPower),
        Budgeted.on(part, value -> ofPower.scaled(100 / settings.maximum.in(Unit.WATT))));
  }

  /**
   * Of both volts. One meter for both may be off in both by the same part, whatever its function:
   * its limits of error then add up, and not by the root of their squares.
   */
  private static Budgeted addedUp(Settings settings, Budgeted ofCathode, Budgeted ofAnode) {
    if (!settings.meter.equals(settings.anodeMeter)) {
      return ofCathode.and(ofAnode);
    }
    List<Contribution> lines = new ArrayList<>();
    double limits = 0;
    for (Contribution line : ofCathode.and(ofAnode).lines()) {
      if (MeterTrust.isLimits(line)) {
        limits += Math.abs(line.standard() * line.sensitivity());
      } else {
        lines.add(line);
      }
    }
    if (limits > 0) {
      lines.add(
          Contribution.known(
              MeterTrust.LIMITS + settings.meter + ", in both volts",
              Contribution.Distribution.RECTANGULAR,
              limits,
              Unit.WATT));
    }
    return new Budgeted(lines, ofCathode.and(ofAnode).lacking());
  }

  /** What it makes of a figure that is inversely proportional to it, relative. */
  private static Budgeted resistor(Settings settings) {
    return settings.resistorWithin == null
        ? Budgeted.lacking("resistor-within, the limits of error of the cathode resistor")
        : Budgeted.of(
            List.of(
                Contribution.within(
                        "cathode resistor",
                        Contribution.Distribution.RECTANGULAR,
                        settings.resistorWithin.in(Unit.PERCENT),
                        Unit.PERCENT)
                    .times(-0.01)));
  }

  private static double[] volts(List<Meters.Sample> samples) {
    return samples.stream().mapToDouble(s -> s.quantity().in(Unit.VOLT)).toArray();
  }
}
