package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.Route;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * HV rail against time while the mains is applied through the series-lamp limiter: the curve, its
 * peak, the settled value and the time to settle.
 *
 * <p>The limiter stays in. Taking it out is the next step's business, and the sequencer allows it
 * only after this step has been judged good.
 */
final class SupplyRiseProcedure implements Procedure<SupplyRiseProcedure.Settings> {
  record Settings(
      @Meaning("the role of the meter on the HV rail") String meter,
      @Meaning("the meter's function") String function,
      @Meaning("the name of the curve, and the first words of its figures' names")
          @Initially("supply rise")
          String result,
      @Meaning("how long to watch") Duration watch,
      @Meaning("from one reading to the next") @Initially("250 ms") Duration every,
      @Meaning("settled is: within this much of the final value")
          @In(Unit.PERCENT)
          @Initially("3 %")
          Quantity settledWithin) {}

  /** The final value is the mean over this last part of the watch. */
  private static final double FINAL_PART = 0.1;

  @Override
  public String id() {
    return "supply-rise";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    return new Outline(
        List.of(
            new Outline.Promise(settings.result, Conditions.NONE, Unit.VOLT, true),
            new Outline.Promise(settings.result + " peak", Conditions.NONE, Unit.VOLT, false),
            new Outline.Promise(settings.result + " settled", Conditions.NONE, Unit.VOLT, false),
            new Outline.Promise(
                settings.result + " time to settle", Conditions.NONE, Unit.SECOND, false)),
        List.of(new Outline.Need(settings.meter, InstrumentKind.METER, settings.function)),
        false,
        Outline.MainsUse.FIRST_POWER,
        settings.watch);
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    Meter meter = bench.meter(settings.meter);
    List<Meters.Sample> samples = new ArrayList<>();
    bench.mains(Route.Purpose.MAINS_LIMITED);
    Duration start = bench.elapsed();
    Duration next = start;
    while (bench.elapsed().minus(start).compareTo(settings.watch) <= 0) {
      samples.add(Meters.sample(bench, meter, settings.function));
      next = next.plus(settings.every);
      bench.pause(next.minus(bench.elapsed()));
    }
    return figures(settings, bench.conditions(), samples, start.toNanos() / 1e9);
  }

  private static List<Measurement> figures(
      Settings settings, Conditions conditions, List<Meters.Sample> samples, double startSeconds) {
    String name = settings.result;
    for (Meters.Sample sample : samples) {
      if (!sample.good()) {
        return List.of(
            Measurement.invalid(name, conditions, sample.trouble()),
            Measurement.invalid(name + " peak", conditions, sample.trouble()),
            Measurement.invalid(name + " settled", conditions, sample.trouble()),
            Measurement.invalid(name + " time to settle", conditions, sample.trouble()));
      }
    }
    double[] seconds =
        samples.stream().mapToDouble(s -> s.seconds() - startSeconds).toArray();
    double[] volts = samples.stream().mapToDouble(s -> s.quantity().in(Unit.VOLT)).toArray();
    int tail = Math.max(1, (int) Math.ceil(volts.length * FINAL_PART));
    double settled = 0;
    for (int i = volts.length - tail; i < volts.length; i++) {
      settled += volts[i] / tail;
    }
    double peak = Double.NEGATIVE_INFINITY;
    for (double v : volts) {
      peak = Math.max(peak, v);
    }
    double tolerance = Math.abs(settled) * settings.settledWithin.in(Unit.PERCENT) / 100;
    int first = volts.length - 1;
    while (first > 0 && Math.abs(volts[first - 1] - settled) <= tolerance) {
      first--;
    }
    return List.of(
        Measurement.of(name, conditions, Curve.of(Unit.SECOND, seconds, Unit.VOLT, volts)),
        Measurement.of(name + " peak", conditions, Quantity.of(peak, Unit.VOLT)),
        Measurement.of(name + " settled", conditions, Quantity.of(settled, Unit.VOLT)),
        Measurement.of(
            name + " time to settle", conditions, Quantity.of(seconds[first], Unit.SECOND)));
  }
}
