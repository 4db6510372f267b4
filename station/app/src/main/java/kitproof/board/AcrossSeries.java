package kitproof.board;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import kitproof.batch.Influence;
import kitproof.batch.Series;
import kitproof.batch.StationDrift;
import kitproof.event.Verdict;
import kitproof.value.Conditions;
import kitproof.value.Unit;

/** Puts values of many runs in series, by which a batch's report tells what they say. Pure. */
final class AcrossSeries {
  /** The latest; each is as large as a unit. */
  private static final int MOST_CHECKS = 1000;

  /** Fewer runs of a unit tell no drift, so that it need not be offered as a check standard. */
  private static final int LEAST_CHECKS = 4;

  private static final int MOST_STANDARDS = 50;

  private AcrossSeries() {}

  private record Key(String name, Conditions conditions, Unit unit) {}

  static Series.Point point(Run run, double value) {
    return new Series.Point(run.place.unit(), run.place.station(), run.began(), value);
  }

  /** What tells of the units' supply; empty if nothing does. */
  static Optional<Influence.Supply> supply(List<Run> runs, ResultKinds kinds) {
    Map<String, Series> first = new TreeMap<>();
    Set<String> names = Set.copyOf(Influence.SUPPLY);
    for (Series series : of(runs, kinds, named(kinds, names::contains))) {
      first.putIfAbsent(series.name(), series);
    }
    return Influence.Supply.in(List.copyOf(first.values()));
  }

  /** Serial numbers of what stations say is their check standard. */
  static Set<String> own(List<Run> beside) {
    return beside.stream()
        .filter(run -> run.check)
        .map(run -> run.place.unit())
        .collect(Collectors.toCollection(TreeSet::new));
  }

  /**
   * Serial numbers of what could be a check standard, the stations' own first.
   *
   * @param beside runs that are no unit's of a batch
   * @param units of the batch
   */
  static List<String> standards(List<Run> beside, Set<String> own, Set<String> units) {
    Map<String, Integer> others = new TreeMap<>();
    for (Run run : beside) {
      if (ended(run) && !own.contains(run.place.unit()) && !units.contains(run.place.unit())) {
        others.merge(run.place.unit(), 1, Integer::sum);
      }
    }
    others.values().removeIf(count -> count < LEAST_CHECKS);
    List<String> all = new ArrayList<>(own);
    all.addAll(others.keySet());
    return all.stream().limit(MOST_STANDARDS).toList();
  }

  /** What check standards measured that could tell of this result, a point for each run. */
  static List<Series> checks(
      List<Run> beside, ResultKinds kinds, String result, Set<String> standards) {
    List<Run> checks =
        beside.stream()
            .filter(run -> ended(run) && standards.contains(run.place.unit()))
            .sorted(Comparator.comparing(Run::began).reversed())
            .limit(MOST_CHECKS)
            .sorted(Comparator.comparing(Run::began))
            .toList();
    return of(checks, kinds, named(kinds, name -> StationDrift.mayTell(name, result)));
  }

  private static boolean ended(Run run) {
    return run.verdict == Verdict.PASS || run.verdict == Verdict.FAIL;
  }

  private static BitSet named(ResultKinds kinds, Predicate<String> wanted) {
    BitSet named = new BitSet();
    for (int i = 0; i < kinds.size(); i++) {
      named.set(i, !kinds.get(i).curve() && wanted.test(kinds.get(i).name()));
    }
    return named;
  }

  private static List<Series> of(List<Run> runs, ResultKinds kinds, BitSet wanted) {
    Map<Key, Map<Run, Series.Point>> found = new LinkedHashMap<>();
    for (Run run : wanted.isEmpty() ? List.<Run>of() : runs) {
      Brief brief = run.brief;
      for (int i = 0; brief != null && i < brief.size(); i++) {
        if (wanted.get(brief.kind(i)) && !Double.isNaN(brief.low(i))) {
          ResultKind kind = kinds.get(brief.kind(i));
          // measured twice in a run it counts as it was measured last
          found
              .computeIfAbsent(
                  new Key(kind.name(), kind.conditions(), kind.unit()), k -> new LinkedHashMap<>())
              .put(run, point(run, brief.low(i)));
        }
      }
    }
    List<Series> series = new ArrayList<>();
    found.forEach(
        (key, points) ->
            series.add(
                new Series(
                    key.name,
                    key.conditions,
                    key.unit,
                    null,
                    false,
                    List.copyOf(points.values()))));
    return series;
  }
}
