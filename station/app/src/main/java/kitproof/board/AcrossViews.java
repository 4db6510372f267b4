package kitproof.board;

import java.util.ArrayList;
import java.util.Collections;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import kitproof.limit.Limit;
import kitproof.value.Figure;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** Puts a result's page together. */
final class AcrossViews {
  /** More curves over one another show nothing. */
  private static final int MOST_CURVES = 24;

  /** The latest units; more crowd a chart, and each one's results have to be read. */
  private static final int MOST_UNITS = 150;

  private AcrossViews() {}

  /** A result with the run it is from. */
  private record Found(Run run, Told.Held held) {}

  /**
   * The page.
   *
   * @param wanted conditions; null for the first
   * @return empty if no unit has such a result
   */
  static Optional<AcrossView> of(Batch batch, String name, @Nullable String wanted) {
    List<Run> runs = new ArrayList<>(batch.finished().stream().limit(MOST_UNITS).toList());
    Collections.reverse(runs);
    Set<String> variants = new LinkedHashSet<>();
    List<Found> all = new ArrayList<>();
    int without = 0;
    for (Run run : runs) {
      without += run.forgotten() ? 1 : 0;
      for (Told.Held held : run.results(name)) {
        variants.add(held.measurement().conditions().toString());
        all.add(new Found(run, held));
      }
    }
    if (variants.isEmpty()) {
      return Optional.empty();
    }
    String conditions = wanted != null ? wanted : variants.iterator().next();
    Set<Run> seen = new HashSet<>(); // the first of a run, should there be more
    List<Found> found =
        all.stream()
            .filter(f -> f.held.measurement().conditions().toString().equals(conditions))
            .filter(f -> seen.add(f.run))
            .toList();
    return Optional.of(
        new AcrossView(
            batch.key,
            name,
            conditions,
            variants.stream().limit(200).toList(),
            unit(found).symbol(),
            found.stream().map(AcrossViews::value).toList(),
            spread(found),
            curves(found),
            without));
  }

  private static Unit unit(List<Found> found) {
    for (Found one : found) {
      if (one.held.measurement().figure() instanceof Figure.OfQuantity of) {
        return of.quantity().unit();
      }
    }
    return Unit.ONE;
  }

  private static @Nullable Double number(Found one) {
    return one.held.measurement().figure() instanceof Figure.OfQuantity of
        ? (Double) of.quantity().value()
        : null;
  }

  private static AcrossView.Value value(Found one) {
    Limit limit = one.held.judgement().limit();
    Limit.Scalar scalar = limit instanceof Limit.Scalar s ? s : new Limit.Scalar(null, null);
    ResultView words = ResultViews.of(one.held);
    return new AcrossView.Value(
        one.run.place.unit(),
        one.run.place.run(),
        number(one),
        words.value(),
        words.outcome(),
        words.limit(),
        ResultViews.number(scalar.low()),
        ResultViews.number(scalar.high()));
  }

  private static AcrossView.@Nullable Spread spread(List<Found> found) {
    List<Double> values = new ArrayList<>();
    for (Found one : found) {
      Double value = number(one);
      if (value != null) {
        values.add(value);
      }
    }
    if (values.size() < Individuals.FEWEST) {
      return null;
    }
    Individuals of = Individuals.of(values);
    return new AcrossView.Spread(of.mean(), of.low(), of.high());
  }

  private static List<AcrossView.Line> curves(List<Found> found) {
    List<AcrossView.Line> lines = new ArrayList<>();
    for (Found one : found) {
      if (one.held.measurement().figure() instanceof Figure.OfCurve of && of.curve().size() > 0) {
        lines.add(
            new AcrossView.Line(
                one.run.place.unit(),
                one.run.place.run(),
                one.held.judgement().outcome().toString(),
                ResultViews.curve(one.held, of.curve())));
      }
    }
    return List.copyOf(lines.subList(Math.max(0, lines.size() - MOST_CURVES), lines.size()));
  }
}
