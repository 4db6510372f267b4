package kitproof.batch;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import kitproof.limit.statistics.Summary;
import kitproof.value.Curve;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * A smoothed mask around the curves of good units.
 *
 * <p>Tolerance limits are worked out place by place; each corner then takes the outermost of its
 * neighbourhood, so that the straight lines between corners leave no place's limit outside.
 *
 * @param corners as a limit file writes them, without braces
 * @param factor by which the standard deviations were multiplied
 */
record MaskProposal(List<String> corners, double factor) {
  private static final int SEGMENTS = 16;

  /** Corners stand at frequencies or times, as limit files have it. */
  static boolean fits(Curve curve) {
    return curve.xUnit() == Unit.SECOND || curve.xUnit() == Unit.HERTZ && curve.x(0) > 0;
  }

  /**
   * The mask of curves of one kind.
   *
   * @param places that they share, rising, 2 or more
   */
  static MaskProposal of(List<Curve> curves, double[] places, Margin margin, Margin.Sides sides) {
    Curve first = curves.get(0);
    List<double[]> values = curves.stream().map(c -> OnGrid.values(c, places)).toList();
    double factor = margin.factor(curves.size(), sides.low() && sides.high());
    double[] low = new double[places.length];
    double[] high = new double[places.length];
    double spread = 0;
    for (int p = 0; p < places.length; p++) {
      int place = p;
      Summary summary = Summary.of(values.stream().mapToDouble(v -> v[place]).toArray());
      low[p] = summary.mean() - factor * summary.standardDeviation();
      high[p] = summary.mean() + factor * summary.standardDeviation();
      spread = Math.max(spread, summary.standardDeviation());
    }
    double[] at = corners(first.xUnit(), places);
    List<String> corners = new ArrayList<>();
    for (int c = 0; c < at.length; c++) {
      double from = at[Math.max(0, c - 1)];
      double to = at[Math.min(at.length - 1, c + 1)];
      String words = "at: " + Quantity.of(at[c], first.xUnit());
      if (sides.low()) {
        double end = outermost(places, low, from, to, false);
        words += ", low: " + Margin.rounded(end, spread, first.yUnit(), RoundingMode.FLOOR);
      }
      if (sides.high()) {
        double end = outermost(places, high, from, to, true);
        words += ", high: " + Margin.rounded(end, spread, first.yUnit(), RoundingMode.CEILING);
      }
      corners.add(words);
    }
    return new MaskProposal(corners, factor);
  }

  /** Evenly along the axis; round inside, and never beyond what the curves reach. */
  private static double[] corners(Unit unit, double[] places) {
    double low = places[0];
    double high = places[places.length - 1];
    List<Double> at = new ArrayList<>(List.of(low));
    for (int i = 1; i < SEGMENTS; i++) {
      double part = (double) i / SEGMENTS;
      double x = unit == Unit.HERTZ ? low * Math.pow(high / low, part) : low + part * (high - low);
      double round = new BigDecimal(x).round(new MathContext(2)).doubleValue();
      if (round > at.get(at.size() - 1) && round < high) {
        at.add(round);
      }
    }
    at.add(high);
    return at.stream().mapToDouble(Double::doubleValue).toArray();
  }

  /** Of the places between two corners, and of those just beyond, which the lines pass as well. */
  private static double outermost(
      double[] places, double[] ends, double from, double to, boolean high) {
    int begin = 0;
    while (begin + 1 < places.length && places[begin + 1] <= from) {
      begin++;
    }
    double outermost = ends[begin];
    for (int i = begin; i < places.length; i++) {
      outermost = high ? Math.max(outermost, ends[i]) : Math.min(outermost, ends[i]);
      if (places[i] >= to) {
        break;
      }
    }
    return outermost;
  }
}
