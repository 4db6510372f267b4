package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import kitproof.driver.InstrumentException;
import kitproof.signal.Settling;
import kitproof.signal.Spread;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** One meter's readings while the mains comes, each shown to the judge, and their figures. */
final class RiseCurve {
  private final StepBench bench;
  private final String meter;
  private final String function;
  private final String name;
  private final Unit unit;
  private final List<Meters.Sample> samples = new ArrayList<>();
  private double startSeconds;
  private double switching;
  private String trouble = "";

  RiseCurve(StepBench bench, String meter, String function, String name, Unit unit) {
    this.bench = bench;
    this.meter = meter;
    this.function = function;
    this.name = name;
    this.unit = unit;
  }

  static List<Outline.Promise> promises(String name, Unit unit) {
    return List.of(
        new Outline.Promise(name, Conditions.NONE, unit, true)
            .against(Unit.SECOND)
            .known(Outline.Basis.METER),
        new Outline.Promise(name + " peak", Conditions.NONE, unit, false)
            .known(Outline.Basis.METER),
        new Outline.Promise(name + " settled", Conditions.NONE, unit, false)
            .known(Outline.Basis.METER),
        new Outline.Promise(name + " time to settle", Conditions.NONE, Unit.SECOND, false)
            .known(Outline.Basis.METER));
  }

  /** Reads while the mains is still off. */
  void before() throws InstrumentException {
    Meters.Sample sample = Meters.sample(bench, bench.meter(meter), function);
    samples.add(sample);
    trouble = sample.trouble();
  }

  /**
   * Mains has come now.
   *
   * @param since when it was switched
   */
  void start(Duration elapsed, Duration since) {
    switching = elapsed.minus(since).toNanos() / 1e9;
    startSeconds = elapsed.toNanos() / 1e9;
    samples.set(0, samples.get(0).at(elapsed));
  }

  /** Reads once, in this time; whether to go on. */
  boolean read(Duration atMost) throws InstrumentException {
    Duration asked = bench.elapsed();
    Meters.Sample sample = Meters.sample(bench, bench.read(meter, function, atMost), asked);
    if (!sample.good()) {
      trouble = sample.trouble();
      bench.breakOff(name + ": " + trouble);
      return false;
    }
    samples.add(sample);
    double at = sample.seconds() - startSeconds;
    return bench.sample(name, Quantity.of(at, Unit.SECOND), sample.quantity());
  }

  /**
   * What came of it, as promised.
   *
   * @param complete whether the rise was watched to its end; if not, the curve is the part so far
   */
  List<Measurement> figures(Conditions conditions, double settledWithin, boolean complete) {
    if (!trouble.isEmpty()) {
      return List.of(
          Measurement.invalid(name, conditions, trouble),
          Measurement.invalid(name + " peak", conditions, trouble),
          Measurement.invalid(name + " settled", conditions, trouble),
          Measurement.invalid(name + " time to settle", conditions, trouble));
    }
    double[] seconds = samples.stream().mapToDouble(s -> s.seconds() - startSeconds).toArray();
    double[] values = samples.stream().mapToDouble(s -> s.quantity().in(unit)).toArray();
    MeterTrust trust = MeterTrust.of(bench, meter, function);
    List<Measurement> measurements = new ArrayList<>();
    measurements.add(
        trust.knownCurve(
            Measurement.of(name, conditions, Curve.of(Unit.SECOND, seconds, unit, values))));
    measurements.add(
        trust.known(
            Measurement.of(
                name + " peak", conditions, Quantity.of(Spread.of(values).max(), unit))));
    if (values.length < 4 || !complete) {
      String why = "the rise was broken off";
      measurements.add(Measurement.invalid(name + " settled", conditions, why));
      measurements.add(Measurement.invalid(name + " time to settle", conditions, why));
      return measurements;
    }
    double settled = Settling.of(seconds, values, Double.MAX_VALUE).finalSpread().mean();
    double tolerance = Math.max(Double.MIN_NORMAL, Math.abs(settled) * settledWithin);
    OptionalDouble after = Settling.of(seconds, values, tolerance).settledSeconds();
    measurements.add(
        trust.known(Measurement.of(name + " settled", conditions, Quantity.of(settled, unit))));
    measurements.add(
        after.isPresent()
            ? trust.known(
                Measurement.of(
                    name + " time to settle",
                    conditions,
                    Quantity.of(after.getAsDouble(), Unit.SECOND)),
                time ->
                    new TimeTrust(trust, samples, seconds, values, unit, switching)
                        .settled(settled, tolerance, time.in(Unit.SECOND)))
            : Measurement.invalid(name + " time to settle", conditions, name + " has not settled"));
    return measurements;
  }
}
