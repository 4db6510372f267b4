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
import kitproof.driver.Route;
import kitproof.signal.Trend;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * A resistance of the cold unit, read with the mains off until it stands still, as a capacitor
 * behind the leads takes its time to charge.
 *
 * <p>A meter that shows overload has found no connection: the result is then the resistance given
 * as {@code open}, if one is, so that a limit can ask for at least that much.
 */
final class ResistanceProcedure implements Procedure<ResistanceProcedure.Settings> {
  private static final int READINGS_IN_A_ROW = 4;

  record Settings(
      @Meaning("the role of the meter") String meter,
      @Meaning("the meter's function") @Initially("resistance") String function,
      @Meaning("the result's name") @Initially("resistance") String result,
      @Meaning("stands still is: four readings in a row within this much of their mean")
          @In(Unit.PERCENT)
          @Initially("1 %")
          @Bounds(low = 0.001)
          Quantity settledWithin,
      @Meaning("or within this resistance of each other, where there is next to none")
          @In(Unit.OHM)
          @Initially("20 mohm")
          @Bounds(low = 0)
          Quantity orWithin,
      @Meaning("the resistance an overload stands for, the meter's range")
          @In(Unit.OHM)
          @Bounds(low = 0.001)
          @Nullable Quantity open,
      @Meaning("when to give up") @Initially("20 s") Duration atMost,
      @Meaning("from one reading to the next") @Initially("200 ms") @Bounds(low = 0.001)
          Duration every) {}

  @Override
  public String id() {
    return "resistance";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    return new Outline(
        List.of(
            new Outline.Promise(settings.result, Conditions.NONE, Unit.OHM, false)
                .known(Outline.Basis.METER)),
        List.of(new Outline.Need(settings.meter, InstrumentKind.METER, settings.function)),
        false,
        Outline.MainsUse.COLD,
        settings.every.multipliedBy(READINGS_IN_A_ROW));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    bench.mains(Route.Purpose.MAINS_OFF);
    Meter meter = bench.meter(settings.meter);
    List<Meters.Sample> last = new ArrayList<>();
    int overloads = 0;
    Duration start = bench.elapsed();
    Duration next = start;
    while (bench.elapsed().minus(start).compareTo(settings.atMost) <= 0) {
      Meters.Sample sample = Meters.sample(bench, meter, settings.function);
      overloads = sample.good() ? 0 : overloads + 1;
      if (sample.good()) {
        last.add(sample);
      } else {
        last.clear();
      }
      if (overloads == READINGS_IN_A_ROW) {
        return List.of(open(settings, bench.conditions(), sample.trouble()));
      }
      if (last.size() == READINGS_IN_A_ROW) {
        Trend trend = trend(last);
        double most = Math.abs(trend.mean()) * settings.settledWithin.in(Unit.PERCENT) / 100;
        if (trend.range() <= Math.max(most, settings.orWithin.in(Unit.OHM))) {
          return List.of(
              MeterTrust.of(bench, settings.meter, settings.function)
                  .known(
                      Measurement.of(
                          settings.result, bench.conditions(), Quantity.of(trend.mean(), Unit.OHM)),
                      last.stream().mapToDouble(s -> s.quantity().in(Unit.OHM)).toArray()));
        }
        last.remove(0);
      }
      next = next.plus(settings.every);
      bench.pause(next.minus(bench.elapsed()));
    }
    return List.of(
        Measurement.invalid(
            settings.result,
            bench.conditions(),
            "the resistance did not stand still in " + settings.atMost.toSeconds() + " s"));
  }

  private static Measurement open(Settings settings, Conditions conditions, String trouble) {
    return settings.open == null
        ? Measurement.invalid(settings.result, conditions, trouble)
        : Measurement.of(settings.result, conditions, settings.open);
  }

  private static Trend trend(List<Meters.Sample> samples) {
    return Trend.of(
        samples.stream().mapToDouble(Meters.Sample::seconds).toArray(),
        samples.stream().mapToDouble(s -> s.quantity().in(Unit.OHM)).toArray());
  }
}
