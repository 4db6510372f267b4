package kitproof.procedure;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.TreeSet;
import java.util.function.IntFunction;
import kitproof.uncertainty.Budget;
import kitproof.value.Contribution;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;

/**
 * The lines of a figure's budget, in its own unit, and what is not known of it.
 *
 * <p>A figure of which something is not known has no uncertainty and says what is missing: one that
 * leaves a contribution out would be trusted for what it is not.
 *
 * @param lines by the figure's unit
 * @param lacking in words; empty if nothing
 */
record Budgeted(List<Contribution> lines, List<String> lacking) {
  /** Curves keep so many digits of an uncertainty, which has two that mean something. */
  private static final MathContext DIGITS = new MathContext(3);

  Budgeted {
    lines = List.copyOf(lines);
    lacking = List.copyOf(lacking);
  }

  /** Of these lines. */
  static Budgeted of(List<Contribution> lines) {
    return new Budgeted(lines, List.of());
  }

  static Budgeted lacking(String what) {
    return new Budgeted(List.of(), List.of(what));
  }

  /** With these lines besides. */
  Budgeted and(Contribution... more) {
    return and(of(List.of(more)));
  }

  /** With the other's lines besides. */
  Budgeted and(Budgeted other) {
    List<Contribution> all = new ArrayList<>(lines);
    all.addAll(other.lines);
    List<String> missing = new ArrayList<>(lacking);
    missing.addAll(other.lacking);
    return new Budgeted(all, List.copyOf(new TreeSet<>(missing)));
  }

  /** What depends on the figure through a slope: every line with so many times its effect. */
  Budgeted scaled(double by) {
    return new Budgeted(
        lines.stream().map(line -> line.times(by * line.sensitivity())).toList(), lacking);
  }

  /** How it is made of a value. */
  interface OfValue {
    Budgeted of(Quantity value);
  }

  /** The measurement with its uncertainty, or with what is missing; an invalid one as it is. */
  static Measurement on(Measurement measurement, OfValue budget) {
    if (!(measurement.figure() instanceof Figure.OfQuantity of)) {
      return measurement;
    }
    Budgeted found = budget.of(of.quantity());
    return found.lacking.isEmpty()
        ? measurement.with(Budget.of(found.lines).uncertainty())
        : noted(measurement, found.lacking);
  }

  /** The same of a curve, by the index of its points. */
  static Measurement onCurve(Measurement measurement, IntFunction<Budgeted> budget) {
    if (!(measurement.figure() instanceof Figure.OfCurve of)) {
      return measurement;
    }
    Curve curve = of.curve();
    int n = curve.size();
    double[] below = new double[n];
    double[] above = new double[n];
    double[] degrees = new double[n];
    Budget widest = null;
    double most = -1;
    TreeSet<String> lacking = new TreeSet<>();
    for (int i = 0; i < n; i++) {
      Budgeted point = budget.apply(i);
      lacking.addAll(point.lacking);
      if (!lacking.isEmpty()) {
        continue;
      }
      Budget combined = Budget.of(point.lines);
      below[i] = rounded(combined.standard(Contribution.Side.BELOW));
      above[i] = rounded(combined.standard(Contribution.Side.ABOVE));
      degrees[i] = rounded(combined.degreesOfFreedom());
      if (combined.standard() > most) {
        most = combined.standard();
        widest = combined;
      }
    }
    return lacking.isEmpty()
        ? measurement.with(
            Uncertainty.of(below, above, degrees, Objects.requireNonNull(widest).contributions()))
        : noted(measurement, List.copyOf(lacking));
  }

  private static double rounded(double value) {
    return Double.isInfinite(value) || value == 0
        ? value
        : BigDecimal.valueOf(value).round(DIGITS).doubleValue();
  }

  private static Measurement noted(Measurement measurement, List<String> lacking) {
    return measurement.noted(
        "its uncertainty is not known, for want of " + String.join(", ", lacking));
  }
}
