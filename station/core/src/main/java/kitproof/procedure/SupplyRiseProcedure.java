package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Meter;
import kitproof.driver.Route;
import kitproof.signal.Settling;
import kitproof.signal.Spread;
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
      @Meaning("from one reading to the next") @Initially("250 ms") @Bounds(low = 0.001)
          Duration every,
      @Meaning("settled is: within this much of the final value")
          @In(Unit.PERCENT)
          @Initially("3 %")
          @Bounds(low = 0.01)
          Quantity settledWithin) {
    Settings {
      if (watch.compareTo(every.multipliedBy(4)) < 0) {
        throw new IllegalArgumentException("\"watch\" to be four times \"every\" or longer");
      }
    }
  }

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
    // The last reading before the mains comes is the value at time zero.
    Meters.Sample before = Meters.sample(bench, meter, settings.function);
    bench.mains(Route.Purpose.MAINS_LIMITED);
    Duration start = bench.elapsed();
    double startSeconds = start.toNanos() / 1e9;
    double endSeconds = startSeconds + settings.watch.toNanos() / 1e9;
    Duration next = start;
    Meters.Sample last = before.at(start);
    samples.add(last);
    // The last reading is not before the end, however long readings take: a mask reaches that far.
    while (last.seconds() < endSeconds) {
      next = next.plus(settings.every);
      bench.pause(next.minus(bench.elapsed()));
      last = Meters.sample(bench, meter, settings.function);
      samples.add(last);
    }
    return figures(settings, bench.conditions(), samples, startSeconds);
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
    double[] seconds = samples.stream().mapToDouble(s -> s.seconds() - startSeconds).toArray();
    double[] volts = samples.stream().mapToDouble(s -> s.quantity().in(Unit.VOLT)).toArray();
    double peak = Spread.of(volts).max();
    double settled = Settling.of(seconds, volts, Double.MAX_VALUE).finalSpread().mean();
    double tolerance =
        Math.max(
            Double.MIN_NORMAL, Math.abs(settled) * settings.settledWithin.in(Unit.PERCENT) / 100);
    OptionalDouble settledAfter = Settling.of(seconds, volts, tolerance).settledSeconds();
    return List.of(
        Measurement.of(name, conditions, Curve.of(Unit.SECOND, seconds, Unit.VOLT, volts)),
        Measurement.of(name + " peak", conditions, Quantity.of(peak, Unit.VOLT)),
        Measurement.of(name + " settled", conditions, Quantity.of(settled, Unit.VOLT)),
        settledAfter.isPresent()
            ? Measurement.of(
                name + " time to settle",
                conditions,
                Quantity.of(settledAfter.getAsDouble(), Unit.SECOND))
            : Measurement.invalid(
                name + " time to settle", conditions, "the rail has not settled"));
  }
}
