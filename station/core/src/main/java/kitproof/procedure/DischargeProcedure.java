package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
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
import kitproof.signal.DischargeFit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * HV rail against time after switch-off: time constant from a log-linear fit, time below 60 V DC
 * (the limit for touchable DC of IEC 62368-1, class ES1) and below the plan's own safe figure.
 *
 * <p>Returns only when several readings in a row are below the safe figure, or the time is up; then
 * the operator is told to treat the unit as live. The readings prove the unit safe to open only if
 * the rail was seen to fall: live at first, and then lower with each reading. A meter's lead that
 * is not on the rail, or falls off it, reads nothing too.
 */
final class DischargeProcedure implements Procedure<DischargeProcedure.Settings> {
  record Settings(
      @Meaning("the role of the meter on the HV rail") String meter,
      @Meaning("the meter's function") String function,
      @Meaning("the name of the curve, and the first words of its figures' names")
          @Initially("discharge")
          String result,
      @Meaning("the unit may be opened below this") @In(Unit.VOLT) @Bounds(low = 0.1) Quantity safe,
      @Meaning("how many readings in a row must be below it")
          @Initially("5")
          @Bounds(low = 2, high = 1000)
          int readings,
      @Meaning(
              "the time constant is fitted to readings below this, where the valves conduct no"
                  + " more")
          @In(Unit.VOLT)
          @Nullable Quantity fitBelow,
      @Meaning("when to give up and call the unit live") @Initially("120 s") Duration giveUpAfter,
      @Meaning("from one reading to the next") @Initially("200 ms") @Bounds(low = 0.001)
          Duration every) {}

  /** Touchable DC by IEC 62368-1, class ES1. */
  static final double TOUCHABLE_VOLTS = 60;

  /**
   * From one live reading to the next: what a capacitor does in more than two of its time
   * constants, a loose clip does at once. Valves that are still hot may halve a rail in less than
   * the time between two readings.
   */
  private static final double JUMP = 10;

  /**
   * The last fall, from a live reading to one below the safe figure, is what a lead that falls off
   * shows: by more than this in the time from one reading to the next, it is not believed. A time
   * constant of one and a half times that time falls less; a reading that came late may be further.
   */
  private static final double LAST_FALL = 2;

  @Override
  public String id() {
    return "discharge";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    return new Outline(
        List.of(
            new Outline.Promise(settings.result, Conditions.NONE, Unit.VOLT, true)
                .against(Unit.SECOND)
                .known(Outline.Basis.METER),
            new Outline.Promise(
                    settings.result + " time constant", Conditions.NONE, Unit.SECOND, false)
                .known(Outline.Basis.METER),
            new Outline.Promise(
                    settings.result + " time to 60 V", Conditions.NONE, Unit.SECOND, false)
                .known(Outline.Basis.METER),
            new Outline.Promise(
                    settings.result + " time to safe", Conditions.NONE, Unit.SECOND, false)
                .known(Outline.Basis.METER)),
        List.of(new Outline.Need(settings.meter, InstrumentKind.METER, settings.function)),
        false,
        Outline.MainsUse.OFF,
        settings.giveUpAfter.dividedBy(4));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    Meter meter = bench.meter(settings.meter);
    List<Meters.Sample> samples = new ArrayList<>();
    // The last reading before the mains goes is the value at time zero.
    Meters.Sample before = Meters.sample(bench, meter, settings.function);
    Duration switched = bench.elapsed();
    bench.mains(Route.Purpose.MAINS_OFF);
    Duration start = bench.elapsed();
    samples.add(before.at(start));
    show(before, bench);
    Duration next = start;
    int below = 0;
    while (below < settings.readings
        && bench.elapsed().minus(start).compareTo(settings.giveUpAfter) <= 0) {
      next = next.plus(settings.every);
      bench.pause(next.minus(bench.elapsed()));
      Meters.Sample sample = Meters.sample(bench, meter, settings.function);
      samples.add(sample);
      show(sample, bench);
      below = isBelow(settings, sample) ? below + 1 : 0;
    }
    if (below >= settings.readings && !seenToFall(settings, samples)) {
      bench.notShownDischarged(
          settings.meter
              + " reads less than "
              + settings.safe.display()
              + ", but was not seen to fall there from a live rail, and a lead that is off reads"
              + " the same; measure the rail by hand");
    } else if (below >= settings.readings) {
      bench.discharged(
          "HV rail below "
              + settings.safe.display()
              + " in "
              + below
              + " readings in a row, "
              + bench.elapsed().minus(start).toSeconds()
              + " s after mains off");
    } else {
      bench.notice(
          "HV rail has not fallen below "
              + settings.safe.display()
              + " within "
              + settings.giveUpAfter.toSeconds()
              + " s: treat the unit as live and do not open it");
    }
    return figures(
        settings,
        bench.conditions(),
        samples,
        start.toNanos() / 1e9,
        start.minus(switched).toNanos() / 1e9,
        MeterTrust.of(bench, settings.meter, settings.function));
  }

  private static void show(Meters.Sample sample, StepBench bench) {
    if (sample.good()) {
      bench.falling(sample.quantity());
    }
  }

  /** Whether the rail was live, and came below the safe figure without a jump. */
  private static boolean seenToFall(Settings settings, List<Meters.Sample> samples) {
    boolean seen = false;
    double live = 0;
    double then = 0;
    for (Meters.Sample sample : samples) {
      double volts = sample.good() ? Math.abs(sample.quantity().in(Unit.VOLT)) : live;
      double intervals = (sample.seconds() - then) * 1e9 / settings.every.toNanos();
      double believed =
          isBelow(settings, sample) ? Math.pow(LAST_FALL, Math.max(1, intervals)) : JUMP;
      if (live > volts * believed) {
        return false;
      }
      then = sample.seconds();
      seen |= live > 0 && isBelow(settings, sample);
      live = isBelow(settings, sample) ? 0 : volts;
    }
    return seen;
  }

  private static boolean isBelow(Settings settings, Meters.Sample sample) {
    return sample.good() && Math.abs(sample.quantity().in(Unit.VOLT)) < settings.safe.in(Unit.VOLT);
  }

  private static List<Measurement> figures(
      Settings settings,
      Conditions conditions,
      List<Meters.Sample> all,
      double startSeconds,
      double switching,
      MeterTrust trust) {
    List<Meters.Sample> good = all.stream().filter(Meters.Sample::good).toList();
    double[] seconds = good.stream().mapToDouble(s -> s.seconds() - startSeconds).toArray();
    double[] volts = good.stream().mapToDouble(s -> s.quantity().in(Unit.VOLT)).toArray();
    String name = settings.result;
    List<Measurement> measurements = new ArrayList<>();
    measurements.add(
        good.size() == all.size()
            ? trust.knownCurve(
                Measurement.of(name, conditions, Curve.of(Unit.SECOND, seconds, Unit.VOLT, volts)))
            : Measurement.invalid(
                name, conditions, (all.size() - good.size()) + " readings gave no value"));
    // With the meter's leads exchanged the rail is as dangerous as it is the right way round.
    double[] height = Arrays.stream(volts).map(Math::abs).toArray();
    int first = firstOfFit(settings, height);
    List<Meters.Sample> fitted = good.subList(first, good.size());
    double[] fitSeconds = Arrays.copyOfRange(seconds, first, seconds.length);
    double[] fitHeight = Arrays.copyOfRange(height, first, height.length);
    measurements.add(
        timeConstant(
            name + " time constant",
            conditions,
            fitSeconds,
            fitHeight,
            trust,
            new TimeTrust(trust, fitted, fitSeconds, fitHeight, Unit.VOLT, switching)));
    TimeTrust times = new TimeTrust(trust, good, seconds, height, Unit.VOLT, switching);
    for (String end : List.of(" time to 60 V", " time to safe")) {
      double limit = end.endsWith("safe") ? settings.safe.in(Unit.VOLT) : TOUCHABLE_VOLTS;
      measurements.add(
          trust.known(
              timeBelow(name + end, conditions, seconds, height, limit),
              time -> times.passing(limit, time.in(Unit.SECOND))));
    }
    return measurements;
  }

  /** Index of the first reading that the time constant is fitted to. */
  private static int firstOfFit(Settings settings, double[] volts) {
    int first = 0;
    if (settings.fitBelow != null) {
      while (first < volts.length && volts[first] >= settings.fitBelow.in(Unit.VOLT)) {
        first++;
      }
    }
    return first;
  }

  private static Measurement timeConstant(
      String name,
      Conditions conditions,
      double[] seconds,
      double[] volts,
      MeterTrust trust,
      TimeTrust times) {
    try {
      DischargeFit fit = DischargeFit.of(seconds, volts);
      return fit.timeConstantSeconds() > 0
          ? trust.known(
              Measurement.of(name, conditions, Quantity.of(fit.timeConstantSeconds(), Unit.SECOND)),
              constant -> times.timeConstant(fit))
          : Measurement.invalid(name, conditions, "the rail rises");
    } catch (IllegalArgumentException e) {
      return Measurement.invalid(name, conditions, String.valueOf(e.getMessage()));
    }
  }

  private static Measurement timeBelow(
      String name, Conditions conditions, double[] seconds, double[] volts, double limit) {
    OptionalDouble when =
        volts.length == 0
            ? OptionalDouble.empty()
            : DischargeFit.secondsBelow(seconds, volts, limit);
    return when.isPresent()
        ? Measurement.of(name, conditions, Quantity.of(when.getAsDouble(), Unit.SECOND))
        : Measurement.invalid(
            name,
            conditions,
            "the rail was not seen to fall below " + Quantity.of(limit, Unit.VOLT));
  }
}
