package kitproof.plot;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * One axis of a plot: what it spans, where a value stands on it, and its ticks.
 *
 * @param unit of the values
 * @param logarithmic whether equal ratios, not equal differences, are equally far apart
 * @param low where it begins
 * @param high where it ends, above {@code low}
 * @param ticks in rising order, all within
 */
record Axis(Unit unit, boolean logarithmic, double low, double high, List<Tick> ticks) {
  /**
   * A place with a grid line.
   *
   * @param label what is printed at it; empty for a fine line without words
   */
  record Tick(double value, String label) {}

  /** Beyond this span only whole decades are labelled, or the labels would run into one another. */
  private static final double DECADES_WITH_2_AND_5 = 4.2;

  private static final int MOST_DECIMALS = 6;
  private static final int LINEAR_STEPS = 7;
  private static final double HAIR = 1e-9;
  private static final MathContext ONE_DIGIT = new MathContext(1);

  Axis {
    ticks = List.copyOf(ticks);
  }

  /**
   * A logarithmic axis that spans exactly this, labelled at 1, 2 and 5 of each decade.
   *
   * @param low above zero
   */
  static Axis logarithmic(Unit unit, double low, double high) {
    double top = high > low ? high : 10 * low;
    boolean fine = Math.log10(top / low) <= DECADES_WITH_2_AND_5;
    List<Tick> ticks = new ArrayList<>();
    for (int decade = (int) Math.floor(Math.log10(low)); Math.pow(10, decade) <= top; decade++) {
      for (int digit = 1; digit < 10; digit++) {
        double value = digit * Math.pow(10, decade);
        if (value >= low * (1 - HAIR) && value <= top * (1 + HAIR)) {
          boolean labelled = digit == 1 || fine && (digit == 2 || digit == 5);
          ticks.add(new Tick(value, labelled ? label(value, unit) : ""));
        }
      }
    }
    return new Axis(unit, true, low, top, ticks);
  }

  /** A logarithmic axis that spans at least this and begins and ends at a 1, 2 or 5. */
  static Axis logarithmicAround(Unit unit, double low, double high) {
    double bottom = outwards(low, false);
    double top = outwards(high, true);
    return logarithmic(unit, bottom, top > bottom ? top : outwards(1.1 * top, true));
  }

  private static double outwards(double value, boolean up) {
    double decade = Math.pow(10, Math.floor(Math.log10(value)));
    double[] steps = {1, 2, 5, 10};
    double below = decade;
    for (double step : steps) {
      if (step * decade >= value * (1 - HAIR)) {
        return up || step * decade <= value * (1 + HAIR) ? step * decade : below;
      }
      below = step * decade;
    }
    return below;
  }

  /** A linear axis that spans exactly this. */
  static Axis linear(Unit unit, double low, double high) {
    double step = step(high - low);
    double shown = scale(unit, low, high);
    int decimals = (int) Math.max(0, Math.ceil(-Math.log10(step / shown) - HAIR));
    List<Tick> ticks = new ArrayList<>();
    for (double i = Math.ceil(low / step - HAIR); i * step <= high + HAIR * step; i++) {
      ticks.add(new Tick(i * step, linear(i * step, shown, decimals, unit)));
    }
    return new Axis(unit, false, low, high, ticks);
  }

  /** A linear axis that spans at least this, and begins and ends at a tick. */
  static Axis linearAround(Unit unit, double low, double high) {
    double margin = high > low ? 0 : Math.max(Math.abs(low) * 0.1, 1e-9);
    double step = step(high - low + 2 * margin);
    // What is rounded outwards is wider, and may need wider steps to end at one of them.
    while (true) {
      double bottom = step * Math.floor((low - margin) / step + HAIR);
      double top = step * Math.ceil((high + margin) / step - HAIR);
      double wider = step(top - bottom);
      if (wider <= step * (1 + HAIR)) {
        return linear(unit, bottom, top);
      }
      step = wider;
    }
  }

  /** 1, 2 or 5 times a power of ten, so that some seven steps make the span. */
  private static double step(double span) {
    double raw = span / LINEAR_STEPS;
    double decade = Math.pow(10, Math.floor(Math.log10(raw)));
    double digit = raw / decade - HAIR;
    return decade * (digit <= 1 ? 1 : digit <= 2 ? 2 : digit <= 5 ? 5 : 10);
  }

  private static String linear(double value, double shown, int decimals, Unit unit) {
    if (value == 0 || decimals > MOST_DECIMALS) {
      return value == 0 ? "0" : label(value, unit);
    }
    return String.format(Locale.ROOT, "%." + decimals + "f", value / shown);
  }

  /** What 1 at a tick of a linear axis stands for: a thousandth where all would begin with 0.0. */
  private static double scale(Unit unit, double low, double high) {
    double most = Math.max(Math.abs(low), Math.abs(high));
    if (!unit.takesPrefix() || (most >= 0.1 && most < 1e4)) {
      return 1;
    }
    return most >= 1e7 ? 1e6 : most >= 1e4 ? 1e3 : most >= 1e-4 ? 1e-3 : 1e-6;
  }

  /** The unit as it stands in the title: "ms" where the ticks are in thousandths. */
  String symbol() {
    double shown = logarithmic ? 1 : scale(unit, low, high);
    String prefix =
        shown == 1e6
            ? "M"
            : shown == 1e3 ? "k" : shown == 1e-3 ? "m" : shown == 1e-6 ? "\u00b5" : "";
    return prefix + unit.symbol();
  }

  /** "20k" beside an axis in Hz, 0.05 beside one in W: the unit stands in the axis' title. */
  private static String label(double value, Unit unit) {
    if (value < 1 && value >= 0.001) {
      return BigDecimal.valueOf(value).round(ONE_DIGIT).toPlainString();
    }
    String text = Quantity.of(value, unit).display().replace(" ", "");
    return text.endsWith(unit.symbol())
        ? text.substring(0, text.length() - unit.symbol().length())
        : text;
  }

  /** How far along the axis a value stands: 0 at its low end, 1 at its high end. */
  double position(double value) {
    return logarithmic
        ? Math.log(value / low) / Math.log(high / low)
        : (value - low) / (high - low);
  }

  /** The value at a place along the axis, which may lie beyond its ends. */
  double at(double position) {
    return logarithmic ? low * Math.pow(high / low, position) : low + position * (high - low);
  }

  /** The place nearest to a value that the axis can show at all. */
  double within(double value) {
    return Math.min(Math.max(value, low), high);
  }
}
