package kitproof.board;

import static java.util.stream.Collectors.toSet;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Collections;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import kitproof.batch.Series;
import kitproof.limit.Judgement;
import kitproof.value.AgainstUnit;
import kitproof.value.Figure;
import org.jspecify.annotations.Nullable;

/** Puts a result's page together. */
final class AcrossViews {
  static final int PAGE_SIZE = 50;

  /** More curves over one another show nothing. */
  private static final int MOST_CURVES = 24;

  /** About as many as a chart has room for; of more units neighbours are drawn as one. */
  static final int MOST_POINTS = 300;

  private static final int MOST_VARIANTS = 200;

  private AcrossViews() {}

  /** A result with the run it is from. */
  private record Found(Run run, ResultKind kind, Brief brief, int place, boolean firstFailed) {
    double value() {
      return brief.low(place);
    }

    Judgement.Outcome outcome() {
      return brief.outcome(place);
    }

    AcrossView.Value view() {
      return new AcrossView.Value(
          run.place.unit(),
          run.place.run(),
          brief.shown(place, kind),
          outcome().toString(),
          kind.limit(),
          firstFailed,
          run.uncalibrated);
    }
  }

  /**
   * A page but for what takes time to reckon, for which nothing of the board is needed any more.
   *
   * @param told its values and what they are held against; null for curves
   */
  record Gathered(AcrossView page, AcrossStatistics.@Nullable Values told) {
    AcrossView reckoned() {
      return told == null ? page : page.with(AcrossStatistics.of(told));
    }
  }

  /**
   * The page.
   *
   * @return empty if no unit has such a result
   */
  static Optional<Gathered> of(Batch batch, Runs all, Across wanted) {
    ResultKinds kinds = all.kinds;
    String name = wanted.name();
    List<Run> runs = new ArrayList<>(batch.attempts().toList());
    Collections.reverse(runs);
    Set<String> variants = variants(runs, kinds, name);
    if (variants.isEmpty()) {
      return Optional.empty();
    }
    String conditions =
        wanted.conditions() != null ? wanted.conditions() : variants.iterator().next();
    BitSet asked = matching(kinds, name);
    for (int i = asked.nextSetBit(0); i >= 0; i = asked.nextSetBit(i + 1)) {
      if (!kinds.get(i).conditions().toString().equals(conditions)) {
        asked.clear(i);
      }
    }
    List<Found> found = new ArrayList<>();
    for (Run run : runs) {
      Brief brief = run.brief;
      for (int i = brief == null ? -1 : brief.size() - 1; brief != null && i >= 0; i--) {
        if (asked.get(brief.kind(i))) {
          ResultKind kind = kinds.get(brief.kind(i));
          found.add(new Found(run, kind, brief, i, batch.firstFailed(run.place.unit(), name)));
          break; // measured twice in a run it counts as it was measured last
        }
      }
    }
    boolean curve = found.stream().anyMatch(one -> one.kind.curve());
    int last = Math.max(0, (found.size() - 1) / PAGE_SIZE);
    int shown = Math.max(0, Math.min(wanted.page(), last));
    List<Found> latestFirst = new ArrayList<>(found);
    Collections.reverse(latestFirst);
    AcrossView view =
        new AcrossView(
            batch.key,
            name,
            conditions,
            variants.stream().limit(MOST_VARIANTS).toList(),
            unit(found),
            found.size(),
            notPassed(found),
            batch.failures().getOrDefault(new Pareto.What(name, true), 0),
            curve ? List.of() : points(found),
            curve ? null : guarded(name, conditions, latestFirst),
            null,
            curve ? curves(name, conditions, latestFirst) : List.of(),
            List.of(),
            (int) runs.stream().filter(Run::lacksValues).count(),
            shown,
            PAGE_SIZE,
            latestFirst.stream()
                .skip((long) shown * PAGE_SIZE)
                .limit(PAGE_SIZE)
                .map(Found::view)
                .toList());
    return Optional.of(
        curve ? new Gathered(view, null) : gathered(view, wanted, batch, all, runs, found));
  }

  private static BitSet matching(ResultKinds kinds, String name) {
    BitSet matching = new BitSet();
    for (int i = 0; i < kinds.size(); i++) {
      matching.set(i, kinds.get(i).name().equals(name));
    }
    return matching;
  }

  private static Set<String> variants(List<Run> runs, ResultKinds kinds, String name) {
    BitSet left = matching(kinds, name);
    Set<String> variants = new LinkedHashSet<>();
    for (Run run : runs) {
      Brief brief = run.brief;
      for (int i = 0; brief != null && i < brief.size(); i++) {
        int kind = brief.kind(i);
        if (left.get(kind)) {
          left.clear(kind);
          variants.add(kinds.get(kind).conditions().toString());
        }
      }
    }
    return variants;
  }

  private static String unit(List<Found> found) {
    return found.stream()
        .filter(one -> !one.kind.curve() && !Double.isNaN(one.value()))
        .findFirst()
        .map(one -> one.kind.unit().symbol())
        .orElse("");
  }

  private static int notPassed(List<Found> found) {
    return (int) found.stream().filter(one -> one.outcome().fails()).count();
  }

  private static List<AcrossView.Point> points(List<Found> found) {
    int each = Math.max(1, (found.size() + MOST_POINTS - 1) / MOST_POINTS);
    List<AcrossView.Point> points = new ArrayList<>();
    for (int from = 0; from < found.size(); from += each) {
      points.add(point(from, found.subList(from, Math.min(found.size(), from + each))));
    }
    return points;
  }

  private static AcrossView.Point point(int before, List<Found> units) {
    double[] values =
        units.stream().mapToDouble(Found::value).filter(value -> !Double.isNaN(value)).toArray();
    double least = Double.POSITIVE_INFINITY;
    double most = Double.NEGATIVE_INFINITY;
    double sum = 0;
    for (double value : values) {
      least = Math.min(least, value);
      most = Math.max(most, value);
      sum += value;
    }
    boolean any = values.length > 0;
    ResultKind kind = units.get(units.size() - 1).kind;
    return new AcrossView.Point(
        before + 1,
        before + units.size(),
        any ? (Double) least : null,
        any ? (Double) (values.length == 1 ? least : sum / values.length) : null,
        any ? (Double) most : null,
        notPassed(units),
        kind.low(),
        kind.high(),
        units.size() == 1 ? units.get(0).view() : null);
  }

  private static Gathered gathered(
      AcrossView page, Across wanted, Batch batch, Runs all, List<Run> runs, List<Found> found) {
    List<Run> beside = all.besideBatches(batch.key.shop());
    Set<String> units = found.stream().map(one -> one.run.place.unit()).collect(toSet());
    Set<String> own = AcrossSeries.own(beside);
    Set<String> by = wanted.standard() == null ? own : Set.of(wanted.standard());
    AcrossView offered = page.with(AcrossSeries.standards(beside, own, units));
    List<Series.Point> points = new ArrayList<>();
    List<Integer> numbers = new ArrayList<>();
    List<Judgement.Outcome> outcomes = new ArrayList<>();
    for (int i = 0; i < found.size(); i++) {
      Found one = found.get(i);
      // A run in error says nothing of its unit, and a check standard is no unit.
      if (!Double.isNaN(one.value())
          && one.run.conclusive()
          && !by.contains(one.run.place.unit())) {
        points.add(AcrossSeries.point(one.run, one.value()));
        numbers.add(i + 1);
        outcomes.add(one.outcome());
      }
    }
    if (points.isEmpty()) {
      return new Gathered(offered, null);
    }
    ResultKind last = found.get(found.size() - 1).kind;
    Series series =
        new Series(
            wanted.name(),
            last.conditions(),
            last.unit(),
            last.limits(),
            found.stream().anyMatch(one -> !one.kind.limit().equals(last.limit())),
            points);
    return new Gathered(
        offered,
        new AcrossStatistics.Values(
            series,
            numbers,
            outcomes,
            page.points().size() == page.units(),
            AcrossSeries.supply(runs, all.kinds),
            AcrossSeries.checks(beside, all.kinds, wanted.name(), by),
            wanted));
  }

  /** The guard bands are of the latest unit, whose results are here if any are. */
  private static AcrossView.@Nullable Guarded guarded(
      String name, String conditions, List<Found> latestFirst) {
    if (latestFirst.isEmpty()) {
      return null;
    }
    Found latest = latestFirst.get(0);
    Judgement.Guard guard =
        latest.run.results(name).stream()
            .filter(held -> AgainstUnit.told(held.measurement()).toString().equals(conditions))
            .map(held -> held.judgement().guard())
            .filter(Objects::nonNull)
            .findFirst()
            .orElse(null);
    if (guard == null) {
      return null;
    }
    Double low = latest.kind.low();
    Double high = latest.kind.high();
    return new AcrossView.Guarded(
        low == null ? null : (Double) (low + guard.low()),
        high == null ? null : (Double) (high - guard.high()));
  }

  private static List<AcrossView.Line> curves(
      String name, String conditions, List<Found> latestFirst) {
    List<AcrossView.Line> lines = new ArrayList<>();
    for (Found one : latestFirst) {
      if (lines.size() == MOST_CURVES) {
        break;
      }
      one.run.results(name).stream()
          .filter(held -> AgainstUnit.told(held.measurement()).toString().equals(conditions))
          .filter(
              held ->
                  held.measurement().figure() instanceof Figure.OfCurve of && of.curve().size() > 0)
          .findFirst()
          .ifPresent(held -> lines.add(line(one.run, held)));
    }
    Collections.reverse(lines);
    return lines;
  }

  private static AcrossView.Line line(Run run, Told.Held held) {
    return new AcrossView.Line(
        run.place.unit(),
        run.place.run(),
        held.judgement().outcome().toString(),
        ResultViews.curve(held, ((Figure.OfCurve) held.measurement().figure()).curve()));
  }
}
