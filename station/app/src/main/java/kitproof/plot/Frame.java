package kitproof.plot;

import java.util.ArrayList;
import java.util.DoubleSummaryStatistics;
import java.util.List;
import java.util.stream.DoubleStream;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import kitproof.limit.Limit;
import kitproof.value.Curve;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * The axes that a plot's curves and masks need.
 *
 * <p>Frequency and power are logarithmic, and so is a share in percent: distortion spans decades.
 */
record Frame(Axis x, Axis y) {
  private static final double ON_THE_FRAME = 0.005;
  private static final double ROOM = 0.05;

  /**
   * A tone that ends a curve so near to a tick stands for it: an interface's bins are seldom round.
   */
  private static final double NEARLY = 1.01;

  static Frame around(Plot plot) {
    Curve first = plot.lines().get(0).curve();
    DoubleSummaryStatistics xs =
        curves(plot).flatMapToDouble(c -> DoubleStream.of(c.xs())).summaryStatistics();
    double[] masks =
        plot.lines().stream()
            .flatMap(line -> line.masks().stream())
            .flatMap(mask -> mask.points().stream())
            .flatMap(Frame::sides)
            .mapToDouble(Quantity::value)
            .toArray();
    DoubleSummaryStatistics ys =
        DoubleStream.concat(
                curves(plot).flatMapToDouble(c -> DoubleStream.of(c.ys())), DoubleStream.of(masks))
            .summaryStatistics();
    Axis close = y(first.yUnit(), ys);
    double[] flats =
        curves(plot)
            .flatMapToDouble(
                c ->
                    IntStream.range(1, c.size())
                        .filter(i -> alongTheFrame(close, c.y(i - 1), c.y(i)))
                        .mapToDouble(c::y))
            .toArray();
    double[] sides = DoubleStream.concat(DoubleStream.of(masks), DoubleStream.of(flats)).toArray();
    return new Frame(x(first.xUnit(), xs), y(first.yUnit(), ys, sides));
  }

  private static boolean alongTheFrame(Axis axis, double from, double to) {
    double low = Math.min(axis.position(from), axis.position(to));
    double high = Math.max(axis.position(from), axis.position(to));
    return low > 1 - ON_THE_FRAME || high < ON_THE_FRAME;
  }

  /**
   * What lies along the frame, a mask's edge or a curve's flat top, would be hidden by it: then
   * there is more room.
   */
  private static Axis y(Unit unit, DoubleSummaryStatistics span, double[] sides) {
    Axis close = y(unit, span);
    for (double side : sides) {
      double at = close.position(side);
      if (side != 0 && at > 1 - ON_THE_FRAME) {
        span.accept(close.at(1 + ROOM));
      } else if (side != 0 && at < ON_THE_FRAME) {
        span.accept(close.at(-ROOM));
      }
    }
    return y(unit, span);
  }

  private static Stream<Curve> curves(Plot plot) {
    return plot.lines().stream().map(Plot.Line::curve);
  }

  private static Stream<Quantity> sides(Limit.Point point) {
    List<Quantity> sides = new ArrayList<>();
    add(sides, point.low());
    add(sides, point.high());
    return sides.stream();
  }

  private static void add(List<Quantity> sides, @Nullable Quantity side) {
    if (side != null) {
      sides.add(side);
    }
  }

  private static Axis x(Unit unit, DoubleSummaryStatistics span) {
    boolean spread = unit == Unit.HERTZ || unit == Unit.WATT;
    if (spread && span.getMin() > 0) {
      Axis wider = Axis.logarithmic(unit, span.getMin() / NEARLY, span.getMax() * NEARLY);
      List<Double> labelled =
          wider.ticks().stream()
              .filter(tick -> !tick.label().isEmpty())
              .map(Axis.Tick::value)
              .toList();
      return Axis.logarithmic(
          unit,
          labelled.stream().filter(v -> v < span.getMin()).findFirst().orElse(span.getMin()),
          labelled.stream()
              .filter(v -> v > span.getMax())
              .reduce((a, b) -> b)
              .orElse(span.getMax()));
    }
    return span.getMax() > span.getMin()
        ? Axis.linear(unit, span.getMin(), span.getMax())
        : Axis.linearAround(unit, span.getMin(), span.getMax());
  }

  private static Axis y(Unit unit, DoubleSummaryStatistics span) {
    return unit == Unit.PERCENT && span.getMin() > 0
        ? Axis.logarithmicAround(unit, span.getMin(), span.getMax())
        : Axis.linearAround(unit, span.getMin(), span.getMax());
  }

  /** "frequency (Hz)". */
  static String title(Axis axis) {
    return title(axis, "");
  }

  /**
   * "distortion (%)".
   *
   * @param of what is drawn along it, such as "thd against power"; may be empty
   */
  static String title(Axis axis, String of) {
    Unit unit = axis.unit();
    String quantity = quantity(unit, of);
    return unit == Unit.ONE ? quantity : quantity + " (" + axis.symbol() + ")";
  }

  private static String quantity(Unit unit, String of) {
    if (of.endsWith("difference")) {
      return "difference";
    }
    if (unit == Unit.PERCENT && (of.startsWith("thd") || of.contains("distortion"))) {
      return "distortion";
    }
    if (unit == Unit.PERCENT && of.startsWith("residual waveform")) {
      return "share of fundamental";
    }
    if (unit == Unit.DECIBEL && of.startsWith("harmonic")) {
      return "level re the fundamental";
    }
    if (unit == Unit.DECIBEL && of.startsWith("crosstalk")) {
      return "level re the driven channel";
    }
    if (unit == Unit.ONE && of.startsWith("damping factor")) {
      return "damping factor";
    }
    if (unit == Unit.ONE && (of.equals("waveform") || of.equals("square wave"))) {
      return "share of full scale"; // of a capture whose volts are not known
    }
    return switch (unit) {
      case HERTZ -> "frequency";
      case SECOND -> "time";
      case WATT -> "power";
      case DECIBEL, DECIBEL_VOLT -> "level";
      case VOLT -> "voltage";
      case AMPERE -> "current";
      case OHM -> "impedance";
      case DEGREE -> "phase";
      case FARAD -> "capacitance";
      case HENRY -> "inductance";
      case CELSIUS -> "temperature";
      case VOLT_PER_SECOND -> "slope";
      case PERCENT -> "share";
      case ONE -> "ratio";
    };
  }
}
