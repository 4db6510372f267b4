package kitproof.procedure;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Contribution.Side;
import kitproof.value.Unit;

/**
 * What makes a factor of a figure uncertain, relative to its size.
 *
 * <p>Figures are mostly products: a gain is volts over volts, a power volts squared over ohms. What
 * stands in two factors by the same name is one quantity: it counts once, and not at all where it
 * cancels, as a full scale does in the ratio of two levels on one input.
 *
 * @param lines with sensitivities in parts of the factor per unit of the line
 * @param lacking what would belong here but is not known, in words
 */
record Factor(List<Contribution> lines, List<String> lacking) {
  /** Of something known exactly, or that does not matter. */
  static final Factor EXACT = new Factor(List.of(), List.of());

  /** Neper per decibel. */
  static final double PER_DECIBEL = Math.log(10) / 20;

  private static final double CANCELLED = 1e-12;

  Factor {
    lines = List.copyOf(lines);
    lacking = List.copyOf(lacking);
  }

  /** Of which something is not known. */
  static Factor lacking(String what) {
    return new Factor(List.of(), List.of(what));
  }

  /** Of a contribution in the unit of a factor that has this value. */
  static Factor of(Contribution line, double value) {
    return new Factor(List.of(line.times(1 / value)), List.of());
  }

  /** Of a contribution to a level in decibels. */
  static Factor decibels(Contribution line) {
    return new Factor(List.of(line.times(PER_DECIBEL)), List.of());
  }

  /** Of a relative standard uncertainty, told in percent. */
  static Factor relative(String name, Evaluation how, double standard, double degreesOfFreedom) {
    return new Factor(
        List.of(
            new Contribution(
                name,
                how,
                Distribution.NORMAL,
                Side.BOTH,
                100 * standard,
                Unit.PERCENT,
                0.01,
                degreesOfFreedom)),
        List.of());
  }

  /** Of the product. */
  Factor times(Factor other) {
    Map<String, Contribution> all = new LinkedHashMap<>();
    for (Contribution line : lines) {
      all.put(line.name(), line);
    }
    for (Contribution line : other.lines) {
      all.merge(
          line.name(), line, (one, more) -> one.times(one.sensitivity() + more.sensitivity()));
    }
    all.values().removeIf(line -> Math.abs(line.sensitivity()) < CANCELLED);
    List<String> missing = new ArrayList<>(lacking);
    missing.addAll(other.lacking);
    return new Factor(List.copyOf(all.values()), List.copyOf(new TreeSet<>(missing)));
  }

  /** Of the quotient. */
  Factor over(Factor other) {
    return times(other.power(-1));
  }

  /** Of a power; the zeroth is exact. */
  Factor power(double exponent) {
    return exponent == 0
        ? EXACT
        : new Factor(
            lines.stream().map(line -> line.times(exponent * line.sensitivity())).toList(),
            lacking);
  }

  /** The lines of a figure that is proportional to this, or its level in decibels. */
  Budgeted figure(double value, Unit unit) {
    double scale = unit == Unit.DECIBEL || unit == Unit.DECIBEL_VOLT ? 1 / PER_DECIBEL : value;
    return new Budgeted(
        lines.stream().map(line -> line.times(scale * line.sensitivity())).toList(), lacking);
  }
}
