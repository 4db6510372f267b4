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
import kitproof.signal.Scatter;
import kitproof.signal.Trend;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Waits until a reading has settled: over the last window it neither drifts nor wanders by more
 * than a share of its mean. The drift is that of the straight line through the window's readings,
 * from one end to the other; what wanders is their distance from lowest to highest.
 *
 * <p>A unit that has not settled when the time is up has invalid results, which fail their limits.
 */
final class WarmUpProcedure implements Procedure<WarmUpProcedure.Settings> {
  record Settings(
      @Meaning("the role of the meter") String meter,
      @Meaning("the meter's function") String function,
      @Meaning("the first words of the results' names") @Initially("warm-up") String result,
      @Meaning("how long the readings must have stayed settled")
          @Initially("10 s")
          @Bounds(low = 0.1)
          Duration window,
      @Meaning("settled is: within this much of the window's mean, end to end")
          @In(Unit.PERCENT)
          @Initially("1 %")
          @Bounds(low = 0.001)
          Quantity settledWithin,
      @Meaning("no settling before this, when heaters may not have begun to act") @Initially("10 s")
          Duration atLeast,
      @Meaning("when to give up") @Initially("180 s") Duration atMost,
      @Meaning("from one reading to the next") @Initially("500 ms") @Bounds(low = 0.001)
          Duration every) {
    Settings {
      if (window.compareTo(every.multipliedBy(4)) < 0) {
        throw new IllegalArgumentException("\"window\" to be four times \"every\" or longer");
      }
      if (atMost.compareTo(window) < 0 || atMost.compareTo(atLeast) < 0) {
        throw new IllegalArgumentException(
            "\"at-most\" to be no shorter than \"window\" and \"at-least\"");
      }
    }
  }

  @Override
  public String id() {
    return "warm-up";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    return new Outline(
        List.of(
            new Outline.Promise(settings.result + " settled", Conditions.NONE, null, false)
                .known(Outline.Basis.METER),
            new Outline.Promise(settings.result + " time", Conditions.NONE, Unit.SECOND, false)
                .known(Outline.Basis.METER)),
        List.of(new Outline.Need(settings.meter, InstrumentKind.METER, settings.function)),
        false,
        Outline.MainsUse.NONE,
        settings.atMost.dividedBy(3));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    Meter meter = bench.meter(settings.meter);
    List<Meters.Sample> window = new ArrayList<>();
    double windowSeconds = settings.window.toNanos() / 1e9;
    Duration start = bench.elapsed();
    Duration next = start;
    Moving before = Moving.UNKNOWN;
    while (bench.elapsed().minus(start).compareTo(settings.atMost) <= 0) {
      Meters.Sample sample = Meters.sample(bench, meter, settings.function);
      if (sample.good()) {
        window.add(sample);
      } else {
        window.clear(); // a reading that is none has not settled
      }
      boolean early = bench.elapsed().minus(start).compareTo(settings.atLeast) < 0;
      if (isFull(window, windowSeconds)) {
        if (!early && hasSettled(settings, window)) {
          return settled(settings, bench, window, start, before);
        }
        before = Moving.of(sample.seconds(), trend(window));
      }
      window.removeIf(old -> sample.seconds() - old.seconds() >= windowSeconds);
      next = next.plus(settings.every);
      bench.pause(next.minus(bench.elapsed()));
    }
    String why =
        settings.meter
            + " "
            + settings.function
            + " has not settled within "
            + settings.settledWithin.display()
            + " in "
            + settings.atMost.toSeconds()
            + " s";
    return List.of(
        Measurement.invalid(settings.result + " settled", bench.conditions(), why),
        Measurement.invalid(settings.result + " time", bench.conditions(), why));
  }

  private static boolean isFull(List<Meters.Sample> window, double seconds) {
    return window.size() >= 4
        && window.get(window.size() - 1).seconds() - window.get(0).seconds() >= seconds * 0.999;
  }

  private static boolean hasSettled(Settings settings, List<Meters.Sample> window) {
    Trend trend = trend(window);
    double most = Math.abs(trend.mean()) * settings.settledWithin.in(Unit.PERCENT) / 100;
    return Math.abs(trend.change()) <= most && trend.range() <= most;
  }

  private static Trend trend(List<Meters.Sample> window) {
    return Trend.of(
        window.stream().mapToDouble(Meters.Sample::seconds).toArray(),
        window.stream().mapToDouble(s -> s.quantity().value()).toArray());
  }

  /**
   * How much a full window still moved.
   *
   * @param at when it ended; NaN if there was none
   * @param most what it moved, end to end
   */
  private record Moving(double at, double most) {
    static final Moving UNKNOWN = new Moving(Double.NaN, 0);

    static Moving of(double at, Trend trend) {
      return new Moving(at, Math.max(Math.abs(trend.change()), trend.range()));
    }
  }

  /**
   * The time is that of the look at which the window had settled. It may have been so since the
   * look before; and what the readings scatter moves it by as much as the window needs to come to
   * rest by so much more.
   */
  private static Budgeted time(
      List<Meters.Sample> window, MeterTrust trust, Moving before, double took, double every) {
    double[] values = window.stream().mapToDouble(s -> s.quantity().value()).toArray();
    Unit unit = window.get(0).quantity().unit();
    Trend trend = trend(window);
    double reading = window.stream().mapToDouble(Meters.Sample::took).max().orElse(0);
    Budgeted known =
        Budgeted.of(
            List.of(
                TimeTrust.clock(took, Unit.SECOND), TimeTrust.interval(Math.max(every, reading))));
    Moving now = Moving.of(window.get(window.size() - 1).seconds(), trend);
    if (Double.isNaN(before.at) || before.most <= now.most) {
      return known; // it had settled before it was looked at
    }
    double perSecond = (before.most - now.most) / (now.at - before.at);
    Scatter scatter = Scatter.of(values);
    return known
        .and(trust.change(values, now.most, unit).scaled(1 / perSecond))
        .and(
            new Contribution(
                "scatter of the readings of the window",
                Contribution.Evaluation.TYPE_A,
                Contribution.Distribution.NORMAL,
                Contribution.Side.BOTH,
                Math.sqrt(2) * scatter.deviation(),
                unit,
                1 / perSecond,
                scatter.degreesOfFreedom()));
  }

  private static List<Measurement> settled(
      Settings settings,
      StepBench bench,
      List<Meters.Sample> window,
      Duration start,
      Moving before) {
    MeterTrust trust = MeterTrust.of(bench, settings.meter, settings.function);
    double every = settings.every.toNanos() / 1e9;
    double took = bench.elapsed().minus(start).toNanos() / 1e9;
    Unit unit = window.get(0).quantity().unit();
    return List.of(
        trust.known(
            Measurement.of(
                settings.result + " settled",
                bench.conditions(),
                Quantity.of(trend(window).mean(), unit)),
            window.stream().mapToDouble(s -> s.quantity().value()).toArray()),
        trust.known(
            Measurement.of(
                settings.result + " time", bench.conditions(), Quantity.of(took, Unit.SECOND)),
            time -> time(window, trust, before, took, every)));
  }
}
