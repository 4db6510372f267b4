package kitproof.procedure;

import java.util.Arrays;
import java.util.List;
import kitproof.signal.DischargeFit;
import kitproof.signal.Scatter;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Contribution.Side;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * How well times are known that are found in a row of a meter's readings.
 *
 * <p>A reading is true for some moment while the meter took it, so that a time may be shorter by
 * that; mains goes or comes at some moment while it is switched, so that a time from then on may be
 * longer by that. What makes the readings uncertain moves a time by so much as the curve takes to
 * go so far.
 */
final class TimeTrust {
  /** A quartz in a computer or an interface: within 100 ppm (common practice, no source). */
  static final double CLOCK = 1e-4;

  /** Readings on each side of a place whose scatter is looked at. */
  private static final int AROUND = 6;

  private final MeterTrust meter;
  private final double[] seconds;
  private final double[] values;
  private final Unit unit;
  private final double took;
  private final double switching;

  /**
   * Of a row of readings.
   *
   * @param samples all good
   * @param seconds of each, since what the times count from
   * @param values of each, in the unit
   * @param switching how long it took to switch what the times count from, seconds
   */
  TimeTrust(
      MeterTrust meter,
      List<Meters.Sample> samples,
      double[] seconds,
      double[] values,
      Unit unit,
      double switching) {
    this.meter = meter;
    this.seconds = seconds.clone();
    this.values = values.clone();
    this.unit = unit;
    this.took = samples.stream().mapToDouble(Meters.Sample::took).max().orElse(0);
    this.switching = switching;
  }

  /** The clock's part in a time or in anything else that goes with it. */
  static Contribution clock(double value, Unit unit) {
    return Contribution.within(
        "computer's clock", Distribution.RECTANGULAR, CLOCK * Math.abs(value), unit);
  }

  /** When a falling row passes a value, as {@link DischargeFit#secondsBelow} finds it. */
  Budgeted passing(double level, double time) {
    int last = values.length - 1;
    while (last >= 0 && values[last] < level) {
      last--;
    }
    if (last < 0) {
      return moment(time); // it was below from the first reading on
    }
    double from = values[last];
    double to = values[last + 1];
    double step = seconds[last + 1] - seconds[last];
    double part = (time - seconds[last]) / step;
    double straight = (from - level) / (from - to);
    boolean positive = Arrays.stream(values).allMatch(value -> value > 0);
    double perSecond = to > 0 ? level * Math.log(from / to) / step : (from - to) / step;
    double shape = to > 0 ? Math.abs(part - straight) * step : step;
    Budgeted known =
        moment(time)
            .and(meter.reading(Quantity.of(level, unit)).scaled(1 / perSecond))
            .and(second("shape of the fall between two readings", shape));
    if (values.length < 3) {
      return known.and(Budgeted.lacking("three readings or more"));
    }
    int low = Math.max(0, Math.min(last - AROUND, values.length - 3));
    double[] around = Arrays.copyOfRange(values, low, Math.min(values.length, last + AROUND));
    Scatter scatter =
        Scatter.of(positive ? Arrays.stream(around).map(Math::log).toArray() : around);
    double deviation = (positive ? level : 1) * scatter.deviation();
    return known.and(
        new Contribution(
            "scatter of the readings around there",
            Evaluation.TYPE_A,
            Distribution.NORMAL,
            Side.BOTH,
            deviation, // which of them is the last above is a matter of scatter, too
            unit,
            1 / perSecond,
            scatter.degreesOfFreedom()));
  }

  /**
   * When a row has come to rest: the first reading from which on all are within a tolerance.
   *
   * @param settled the value at rest
   */
  Budgeted settled(double settled, double tolerance, double time) {
    int first = 0;
    while (first < seconds.length - 1 && seconds[first] < time) {
      first++;
    }
    if (first == 0) {
      return moment(time);
    }
    double step = seconds[first] - seconds[first - 1];
    double perSecond = Math.abs(values[first] - values[first - 1]) / step;
    double[] end = Arrays.copyOfRange(values, values.length - values.length / 4, values.length);
    // Of a value at rest and one at the edge of the tolerance a meter's gain makes the same.
    Budgeted limits =
        settled == 0
            ? meter.reading(Quantity.of(tolerance, unit)).scaled(1 / perSecond)
            : meter
                .reading(Quantity.of(settled, unit))
                .scaled(tolerance / Math.abs(settled) / perSecond);
    Budgeted known = moment(time).and(limits).and(interval(step));
    if (end.length < 3) {
      return known.and(Budgeted.lacking("twelve readings or more"));
    }
    Scatter scatter = Scatter.of(end);
    return known.and(
        new Contribution(
            "scatter of the readings at rest",
            Evaluation.TYPE_A,
            Distribution.NORMAL,
            Side.BOTH,
            scatter.deviation(),
            unit,
            1 / perSecond,
            scatter.degreesOfFreedom()));
  }

  /**
   * The time constant of a fall: by the readings' distances from the line, and by how much the
   * meter may be off at one end of the line and not at the other. A gain that is off everywhere
   * would not show; that it may is left in, which is rather too much.
   */
  Budgeted timeConstant(DischargeFit fit) {
    if (fit.pointsUsed() < 3) {
      return Budgeted.lacking("three readings or more in the fit");
    }
    Budgeted limits = meter.reading(Quantity.of(values[0], unit));
    if (!limits.lacking().isEmpty()) {
      return limits;
    }
    double[] standard = new double[values.length];
    for (int i = 0; i < values.length; i++) {
      standard[i] =
          meter.reading(Quantity.of(values[i], unit)).lines().get(0).standard(); // limits of error
    }
    return Budgeted.of(
            List.of(
                new Contribution(
                    "distance of the readings from the line",
                    Evaluation.TYPE_A,
                    Distribution.NORMAL,
                    Side.BOTH,
                    fit.timeConstantStandard(),
                    Unit.SECOND,
                    1,
                    fit.pointsUsed() - 2.0),
                tilted("limits of error of the meter where the fall begins", fit, standard, true),
                tilted("limits of error of the meter where it ends", fit, standard, false)))
        .and(clock(fit.timeConstantSeconds(), Unit.SECOND));
  }

  /** What the fit makes of readings that are off at one end, less and less towards the other. */
  private Contribution tilted(String name, DischargeFit fit, double[] standard, boolean high) {
    double top = Math.log(values[0]);
    double bottom = top;
    double floor = Arrays.stream(values).max().orElseThrow() / 50; // as the fit has it
    for (double value : values) {
      bottom = value > floor ? Math.min(bottom, Math.log(value)) : bottom;
    }
    double[] off = values.clone();
    for (int i = 0; i < off.length; i++) {
      if (off[i] > floor && top > bottom) {
        double place = (Math.log(off[i]) - bottom) / (top - bottom);
        off[i] += standard[i] * (high ? place : 1 - place);
      }
    }
    double changed = DischargeFit.of(seconds, off).timeConstantSeconds();
    return Contribution.known(
        name, Distribution.RECTANGULAR, Math.abs(changed - fit.timeConstantSeconds()), Unit.SECOND);
  }

  /** What all times from here on have: the clock, the meter's time, the time to switch. */
  private Budgeted moment(double time) {
    return Budgeted.of(
        List.of(
            clock(time, Unit.SECOND),
            Contribution.within(
                    "time that a reading takes", Distribution.RECTANGULAR, took, Unit.SECOND)
                .on(Side.BELOW),
            Contribution.within(
                    "time to switch the mains", Distribution.RECTANGULAR, switching, Unit.SECOND)
                .on(Side.ABOVE)));
  }

  /** It may have been so at any time since the reading before. */
  static Contribution interval(double step) {
    return Contribution.within(
            "time from one reading to the next", Distribution.RECTANGULAR, step, Unit.SECOND)
        .on(Side.BELOW);
  }

  private static Contribution second(String name, double halfWidth) {
    return Contribution.within(name, Distribution.RECTANGULAR, halfWidth, Unit.SECOND);
  }
}
