package kitproof.cli;

import java.io.PrintWriter;
import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import kitproof.journal.RunRecord;
import kitproof.uncertainty.Coverage;
import kitproof.value.Contribution;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;

/** Prints what makes the figures of a record uncertain, line by line. */
final class BudgetsPrinted {
  /** More degrees of freedom than these are as good as infinitely many. */
  private static final double MANY = 1e4;

  private static final String INDENT = "  ";
  private static final List<String> HEAD =
      List.of("contribution", "type", "distribution", "u", "sensitivity", "dof", "share");

  private final PrintWriter out;

  BudgetsPrinted(PrintWriter out) {
    this.out = out;
  }

  /** Prints those of all results of a record, or of those of one name. */
  void print(RunRecord record, String name) {
    out.println("run " + record.run() + ", unit " + record.unit());
    out.println(
        record
            .calibration()
            .map(told -> told.told())
            .orElse("no calibration was told: no figure has an uncertainty"));
    for (RunRecord.Step step : record.steps()) {
      for (RunRecord.Result result : step.results()) {
        if (name.isEmpty() || result.measurement().name().equals(name)) {
          out.println();
          print(result.measurement());
        }
      }
    }
    out.flush();
  }

  private void print(Measurement of) {
    Uncertainty uncertainty = of.uncertainty();
    if (of.figure() instanceof Figure.Invalid bad) {
      out.println(of.title() + ": invalid, " + bad.reason());
      return;
    }
    int widest = uncertainty == null ? 0 : widest(uncertainty);
    out.println(of.title() + ": " + figure(of, widest));
    if (uncertainty == null) {
      String why = of.note().isEmpty() ? "" : " (" + of.note() + ")";
      out.println(INDENT + "its uncertainty is not known" + why);
      return;
    }
    if (!of.note().isEmpty()) {
      out.println(INDENT + "note: " + of.note());
    }
    Unit unit = unit(of);
    lines(uncertainty, widest, unit);
    combined(uncertainty, widest, unit);
  }

  private static int widest(Uncertainty of) {
    int widest = 0;
    for (int i = 1; i < of.size(); i++) {
      widest = most(of, i) > most(of, widest) ? i : widest;
    }
    return widest;
  }

  private static double most(Uncertainty of, int index) {
    return Math.max(of.below(index), of.above(index));
  }

  private static String figure(Measurement of, int widest) {
    if (of.figure() instanceof Figure.OfCurve curve) {
      Curve points = curve.curve();
      return Quantity.of(points.y(widest), points.yUnit()).display()
          + " at "
          + Quantity.of(points.x(widest), points.xUnit()).display()
          + ", the least known of "
          + points.size()
          + " points";
    }
    return ((Figure.OfQuantity) of.figure()).quantity().display(6);
  }

  private static Unit unit(Measurement of) {
    Unit unit =
        of.figure() instanceof Figure.OfCurve curve
            ? curve.curve().yUnit()
            : ((Figure.OfQuantity) of.figure()).quantity().unit();
    return unit == Unit.DECIBEL_VOLT ? Unit.DECIBEL : unit;
  }

  private void lines(Uncertainty of, int widest, Unit unit) {
    boolean below = of.below(widest) > of.above(widest);
    double whole = Math.pow(most(of, widest), 2);
    List<List<String>> rows = new ArrayList<>(List.of(HEAD));
    for (Contribution line : of.budget()) {
      Contribution.Side side = line.effectSide();
      boolean counts = side == Contribution.Side.BOTH || (side == Contribution.Side.BELOW) == below;
      double share = counts && whole > 0 ? 100 * Math.pow(line.effect(), 2) / whole : 0;
      rows.add(
          List.of(
              line.name(),
              line.evaluation().toString(),
              line.distribution() + (side == Contribution.Side.BOTH ? "" : ", " + side + " only"),
              told(line.standard(), line.unit()),
              Quantity.of(line.sensitivity(), Unit.ONE).display(3)
                  + (line.unit() == unit ? "" : " " + per(unit, line.unit())),
              degrees(line.degreesOfFreedom()),
              String.format(Locale.ROOT, "%.1f %%", share)));
    }
    int[] widths = new int[HEAD.size()];
    for (List<String> row : rows) {
      for (int c = 0; c < widths.length; c++) {
        widths[c] = Math.max(widths[c], row.get(c).length());
      }
    }
    for (List<String> row : rows) {
      StringBuilder line = new StringBuilder(INDENT);
      for (int c = 0; c < widths.length; c++) {
        String gap = " ".repeat(widths[c] - row.get(c).length());
        line.append(c < 3 ? row.get(c) + gap : gap + row.get(c)).append("  ");
      }
      out.println(line.toString().stripTrailing());
    }
  }

  private static String per(Unit of, Unit by) {
    return (of == Unit.ONE ? "1" : of.symbol()) + (by == Unit.ONE ? "" : "/" + by.symbol());
  }

  private static String degrees(double of) {
    return of > MANY ? "inf" : Quantity.of(of, Unit.ONE).display(3);
  }

  private void combined(Uncertainty of, int index, Unit unit) {
    double k = Coverage.factor(Coverage.USUAL, of.degreesOfFreedom(index));
    boolean alike = of.below(index) == of.above(index);
    out.println(
        INDENT
            + "combined standard uncertainty "
            + (alike
                ? told(of.above(index), unit)
                : told(of.above(index), unit) + " above, " + told(of.below(index), unit) + " below")
            + ", effective degrees of freedom "
            + degrees(of.degreesOfFreedom(index)));
    out.println(
        INDENT
            + String.format(Locale.ROOT, "k = %.2f for %.2f %%: ", k, 100 * Coverage.USUAL)
            + (alike
                ? "+/-" + told(k * of.above(index), unit)
                : "+" + told(k * of.above(index), unit) + " -" + told(k * of.below(index), unit)));
  }

  private static String told(double value, Unit unit) {
    if (unit.takesPrefix() || value == 0) {
      return Quantity.of(value, unit).display(3);
    }
    // Screens round decibels and percent further than a budget may.
    String digits =
        BigDecimal.valueOf(value).round(new MathContext(3)).stripTrailingZeros().toPlainString();
    return unit == Unit.ONE ? digits : digits + " " + unit.symbol();
  }
}
