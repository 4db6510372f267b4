package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.signal.Trend;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Any meter quantity against time over a soak: the curve, its slope per minute by least squares,
 * and its change from end to end, the mean of the last tenth of the readings less that of the
 * first.
 */
final class DriftProcedure implements Procedure<DriftProcedure.Settings> {
  private static final double SECONDS_PER_MINUTE = 60;

  record Settings(
      @Meaning("the role of the meter") String meter,
      @Meaning("the meter's function") String function,
      @Meaning("the name of the curve, and the first words of its figures' names") String result,
      @Meaning("the unit of the readings, such as V") String unit,
      @Meaning("how long to soak") Duration soak,
      @Meaning("from one reading to the next") @Initially("500 ms") @Bounds(low = 0.001)
          Duration every) {
    Settings {
      if (Unit.ofSymbol(unit).isEmpty()) {
        throw new IllegalArgumentException("\"unit\" to be a known one, such as V, W or ohm");
      }
      if (soak.compareTo(every.multipliedBy(10)) < 0) {
        throw new IllegalArgumentException("\"soak\" to be ten times \"every\" or longer");
      }
    }
  }

  private static Unit unit(Settings settings) {
    return Unit.ofSymbol(settings.unit).orElseThrow();
  }

  @Override
  public String id() {
    return "drift";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    String name = settings.result;
    return new Outline(
        List.of(
            new Outline.Promise(name, Conditions.NONE, unit(settings), true)
                .against(Unit.SECOND)
                .known(Outline.Basis.METER),
            new Outline.Promise(name + " per minute", Conditions.NONE, unit(settings), false)
                .known(Outline.Basis.METER),
            new Outline.Promise(name + " change", Conditions.NONE, unit(settings), false)
                .known(Outline.Basis.METER)),
        List.of(new Outline.Need(settings.meter, InstrumentKind.METER, settings.function)),
        false,
        Outline.MainsUse.NONE,
        settings.soak);
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    int count = (int) (settings.soak.toNanos() / settings.every.toNanos()) + 1;
    List<Meters.Sample> samples =
        Meters.series(bench, bench.meter(settings.meter), settings.function, count, settings.every);
    Conditions conditions = bench.conditions();
    String name = settings.result;
    for (Meters.Sample sample : samples) {
      if (!sample.good() || sample.quantity().unit() != unit(settings)) {
        String why =
            sample.good()
                ? "the meter reads " + sample.quantity().display() + ", not " + settings.unit
                : sample.trouble();
        return List.of(
            Measurement.invalid(name, conditions, why),
            Measurement.invalid(name + " per minute", conditions, why),
            Measurement.invalid(name + " change", conditions, why));
      }
    }
    double start = samples.get(0).seconds();
    double[] seconds = samples.stream().mapToDouble(s -> s.seconds() - start).toArray();
    double[] values = samples.stream().mapToDouble(s -> s.quantity().value()).toArray();
    Trend trend = Trend.of(seconds, values);
    Unit unit = unit(settings);
    MeterTrust trust = MeterTrust.of(bench, settings.meter, settings.function);
    double soak = seconds[seconds.length - 1];
    double slope = trend.slope() * SECONDS_PER_MINUTE;
    return List.of(
        trust.knownCurve(
            Measurement.of(name, conditions, Curve.of(Unit.SECOND, seconds, unit, values))),
        trust.known(
            Measurement.of(name + " per minute", conditions, Quantity.of(slope, unit)),
            figure ->
                trust
                    .change(values, trend.change(), unit)
                    .scaled(SECONDS_PER_MINUTE / soak)
                    .and(
                        scatter(trend.slopeStandard() * SECONDS_PER_MINUTE, values.length, unit),
                        TimeTrust.clock(slope, unit))),
        trust.known(
            Measurement.of(name + " change", conditions, Quantity.of(trend.endToEnd(), unit)),
            figure ->
                trust
                    .change(values, trend.endToEnd(), unit)
                    .and(
                        scatter(
                            trend.deviation() * Math.sqrt(2.0 / Math.max(1, values.length / 10)),
                            values.length,
                            unit))));
  }

  private static Contribution scatter(double standard, int readings, Unit unit) {
    return new Contribution(
        "distance of the readings from a straight line",
        Contribution.Evaluation.TYPE_A,
        Contribution.Distribution.NORMAL,
        Contribution.Side.BOTH,
        standard,
        unit,
        1,
        readings - 2.0);
  }
}
