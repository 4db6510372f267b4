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
import kitproof.driver.Route;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * HV rail, and mains power if a meter for it is named, against time while the mains is applied
 * through the series-lamp limiter: the curves, their peaks, the settled values, the times to
 * settle.
 *
 * <p>Every sample is shown to its judge as it comes: one outside its mask takes the mains away at
 * once, as does an overload. The limiter stays in. Taking it out is the next step's business, and
 * the sequencer allows it only after this step has been judged good.
 */
final class SupplyRiseProcedure implements Procedure<SupplyRiseProcedure.Settings> {
  record Settings(
      @Meaning("the role of the meter on the HV rail") String meter,
      @Meaning("the meter's function") String function,
      @Meaning("the name of the curve, and the first words of its figures' names")
          @Initially("supply rise")
          String result,
      @Meaning("the role of the meter of mains power, if it is to be watched too")
          @Nullable String powerMeter,
      @Meaning("the power meter's function") @Initially("power") String powerFunction,
      @Meaning("the name of the curve of mains power, and of its figures")
          @Initially("mains power rise")
          String powerResult,
      @Meaning("how long to watch") Duration watch,
      @Meaning("from one reading to the next") @Initially("250 ms") @Bounds(low = 0.001)
          Duration every,
      @Meaning("a fault takes the mains away in this time; slower readings end the run")
          @Initially("2 s")
          @Bounds(low = 0.01)
          Duration within,
      @Meaning("settled is: within this much of the final value")
          @In(Unit.PERCENT)
          @Initially("3 %")
          @Bounds(low = 0.01)
          Quantity settledWithin) {
    Settings {
      if (watch.compareTo(every.multipliedBy(4)) < 0) {
        throw new IllegalArgumentException("\"watch\" to be four times \"every\" or longer");
      }
      if (within.compareTo(every) < 0) {
        throw new IllegalArgumentException("\"within\" to be no shorter than \"every\"");
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
    List<Outline.Promise> promises = new ArrayList<>();
    List<Outline.Need> needs = new ArrayList<>();
    needs.add(
        new Outline.Need(settings.meter, InstrumentKind.METER, settings.function, settings.within));
    promises.addAll(RiseCurve.promises(settings.result, Unit.VOLT));
    if (settings.powerMeter != null) {
      needs.add(
          new Outline.Need(
              settings.powerMeter, InstrumentKind.METER, settings.powerFunction, settings.within));
      promises.addAll(RiseCurve.promises(settings.powerResult, Unit.WATT));
    }
    return new Outline(promises, needs, false, Outline.MainsUse.FIRST_POWER, settings.watch);
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    List<RiseCurve> curves = curves(settings, bench);
    for (RiseCurve curve : curves) {
      curve.before(); // the value at time zero is the last one before the mains comes
    }
    Duration switched = bench.elapsed();
    bench.mains(Route.Purpose.MAINS_LIMITED);
    Duration start = bench.elapsed();
    curves.forEach(curve -> curve.start(start, switched));
    Duration next = start;
    Duration last = start;
    boolean good = true;
    // The last round is not before the end, however long readings take: a mask reaches that far.
    while (good && last.minus(start).compareTo(settings.watch) < 0) {
      next = next.plus(settings.every);
      bench.pause(next.minus(bench.elapsed()));
      for (int i = 0; good && i < curves.size(); i++) {
        good = curves.get(i).read(left(settings, last, bench.elapsed()));
      }
      if (good) { // else the mains has gone, and that is the unit's fault
        var unused = left(settings, last, bench.elapsed());
        last = bench.elapsed();
      }
    }
    List<Measurement> measurements = new ArrayList<>();
    for (RiseCurve curve : curves) {
      measurements.addAll(
          curve.figures(bench.conditions(), settings.settledWithin.in(Unit.PERCENT) / 100, good));
    }
    return measurements;
  }

  private static List<RiseCurve> curves(Settings settings, StepBench bench) {
    List<RiseCurve> curves = new ArrayList<>();
    curves.add(new RiseCurve(bench, settings.meter, settings.function, settings.result, Unit.VOLT));
    if (settings.powerMeter != null) {
      curves.add(
          new RiseCurve(
              bench, settings.powerMeter, settings.powerFunction, settings.powerResult, Unit.WATT));
    }
    return curves;
  }

  /** How much time there is for the next reading, since all were good the last time. */
  private static Duration left(Settings settings, Duration last, Duration now)
      throws InstrumentException {
    Duration took = now.minus(last);
    if (took.compareTo(settings.within) > 0) {
      throw new InstrumentException(
          InstrumentException.Kind.TIMEOUT,
          "readings of the rise came "
              + took.toMillis()
              + " ms apart; a fault must be seen within "
              + settings.within.toMillis()
              + " ms");
    }
    return settings.within.minus(took);
  }
}
