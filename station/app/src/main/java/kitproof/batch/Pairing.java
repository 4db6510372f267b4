package kitproof.batch;

import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import kitproof.document.Located;
import kitproof.document.Parsed;
import kitproof.journal.RunRecord;
import kitproof.limit.statistics.Pairs;
import kitproof.value.AgainstUnit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * The best-matched pairs among the good units of a batch.
 *
 * <p>The distance of two units is the root of the sum of the squares of their differences, each
 * over the difference that counts as 1. The sum of the distances of all pairs is as small as it can
 * be.
 *
 * @param pairs the nearest first
 * @param left the unit without a partner, of an odd number
 * @param incomplete units that lack a result the others have, with what they lack; not paired
 */
public record Pairing(List<Pair> pairs, Optional<String> left, Map<String, String> incomplete) {
  public Pairing {
    pairs = List.copyOf(pairs);
    incomplete = Collections.unmodifiableMap(new TreeMap<>(incomplete));
  }

  /**
   * Two units.
   *
   * @param first serial number
   * @param second serial number
   * @param distance of the two, a plain number
   * @param differences result to second less first; of a curve the root mean square
   */
  public record Pair(
      String first, String second, double distance, Map<String, Quantity> differences) {
    public Pair {
      differences = Collections.unmodifiableMap(new LinkedHashMap<>(differences));
    }
  }

  private record Key(String name, Conditions conditions) {
    String title() {
      return conditions.isEmpty() ? name : name + " (" + conditions + ")";
    }
  }

  /**
   * What a unit has of a result.
   *
   * @param chosen the reference unit that it is a difference from, or empty
   */
  private record Own(Figure figure, String chosen) {}

  private record Wanted(Key key, Quantity one) {}

  /**
   * Matches the units of a batch.
   *
   * @return the pairs; or what of the rules fits no result
   */
  public static Parsed<Pairing> of(Batch good, PairRules rules) {
    Map<String, Map<Key, Own>> figures = new LinkedHashMap<>();
    for (UnitHistory unit : good.units()) {
      unit.last().ifPresent(run -> figures.put(unit.serial(), figures(run)));
    }
    Set<Key> keys = new LinkedHashSet<>();
    figures.values().forEach(own -> keys.addAll(own.keySet()));
    List<Problem> problems = new ArrayList<>();
    List<Wanted> wanted = new ArrayList<>();
    for (Located<PairRules.Row> row : rules.compare()) {
      want(row, keys, figures, wanted, problems);
    }
    if (!problems.isEmpty()) {
      return Parsed.wrong(problems);
    }
    Map<String, String> incomplete = new TreeMap<>();
    figures.forEach(
        (serial, own) ->
            wanted.stream()
                .filter(w -> !own.containsKey(w.key))
                .findFirst()
                .ifPresent(w -> incomplete.put(serial, w.key.title())));
    figures.keySet().removeAll(incomplete.keySet());
    return Parsed.of(match(figures, wanted, incomplete));
  }

  private static Map<Key, Own> figures(RunRecord run) {
    Map<Key, Own> figures = new LinkedHashMap<>();
    run.steps().stream()
        .flatMap(step -> step.results().stream())
        .map(RunRecord.Result::measurement)
        .filter(m -> !(m.figure() instanceof Figure.Invalid))
        .forEach(
            m ->
                figures.put(
                    new Key(m.name(), m.conditions()), new Own(m.figure(), AgainstUnit.chosen(m))));
    return figures;
  }

  private static void want(
      Located<PairRules.Row> row,
      Set<Key> keys,
      Map<String, Map<Key, Own>> figures,
      List<Wanted> wanted,
      List<Problem> problems) {
    String name = row.value().result();
    Quantity one = row.value().difference().value();
    List<Key> fitting =
        keys.stream()
            .filter(k -> k.name.equals(name) && k.conditions.satisfy(row.value().conditions()))
            .toList();
    if (fitting.isEmpty()) {
      Set<String> names = new TreeSet<>();
      keys.forEach(key -> names.add(key.name));
      problems.add(
          names.contains(name)
              ? Problem.of(
                  row.location(),
                  "\"" + name + "\" when " + row.value().conditions(),
                  "conditions under which the good units measured it")
              : Problem.unknownName(row.location(), "the result", name, names));
      return;
    }
    for (Key key : fitting) {
      Optional<Unit> other =
          figures.values().stream()
              .filter(own -> own.containsKey(key))
              .map(own -> unit(figure(own, key)))
              .filter(unit -> unit != one.unit())
              .findFirst();
      if (other.isPresent()) {
        problems.add(
            Problem.of(
                row.value().difference().location(),
                "\"" + one.display() + "\"",
                Quantity.expectation(other.get())));
        return;
      }
      Optional<String> unlike = unlike(key, figures);
      if (unlike.isPresent()) {
        problems.add(
            Problem.of(row.location(), unlike.get(), "a result that all units measured alike"));
        return;
      }
      wanted.add(new Wanted(key, one));
    }
  }

  /** Why the units cannot be compared by a result; empty if they can. */
  private static Optional<String> unlike(Key key, Map<String, Map<Key, Own>> figures) {
    List<Own> own =
        figures.values().stream().filter(o -> o.containsKey(key)).map(o -> o.get(key)).toList();
    Set<String> chosen = new TreeSet<>();
    own.stream().map(Own::chosen).filter(serial -> !serial.isEmpty()).forEach(chosen::add);
    if (chosen.size() > 1) {
      return Optional.of(
          "\""
              + key.title()
              + "\", for which the units were compared with several others: "
              + String.join(", ", chosen));
    }
    List<Figure> all = own.stream().map(Own::figure).toList();
    List<Curve> curves =
        all.stream()
            .filter(Figure.OfCurve.class::isInstance)
            .map(figure -> ((Figure.OfCurve) figure).curve())
            .toList();
    if (!curves.isEmpty() && curves.size() < all.size()) {
      return Optional.of("\"" + key.title() + "\", which is a curve of some units only");
    }
    return curves.size() > 1 && OnGrid.shared(curves).length == 0
        ? Optional.of("curves of \"" + key.title() + "\" that share no place")
        : Optional.empty();
  }

  private static Unit unit(Figure figure) {
    return figure instanceof Figure.OfCurve curve
        ? curve.curve().yUnit()
        : ((Figure.OfQuantity) figure).quantity().unit();
  }

  private static Pairing match(
      Map<String, Map<Key, Own>> figures, List<Wanted> wanted, Map<String, String> incomplete) {
    List<String> serials = List.copyOf(figures.keySet());
    if (serials.size() < 2) {
      return new Pairing(List.of(), serials.stream().findFirst(), incomplete);
    }
    List<List<Double>> distances = new ArrayList<>();
    List<Map<Key, Own>> own = List.copyOf(figures.values());
    for (Map<Key, Own> a : own) {
      List<Double> row = new ArrayList<>();
      for (Map<Key, Own> b : own) {
        row.add(distance(a, b, wanted));
      }
      distances.add(row);
    }
    Pairs best = Pairs.best(distances);
    List<Pair> pairs = new ArrayList<>();
    for (Pairs.Pair pair : best.pairs()) {
      Map<String, Quantity> differences = new LinkedHashMap<>();
      for (Wanted w : wanted) {
        double difference = difference(own.get(pair.first()), own.get(pair.second()), w.key);
        differences.put(w.key.title(), Quantity.of(difference, w.one.unit()));
      }
      pairs.add(
          new Pair(
              serials.get(pair.first()), serials.get(pair.second()), pair.distance(), differences));
    }
    Optional<String> left =
        best.left().isPresent()
            ? Optional.of(serials.get(best.left().getAsInt()))
            : Optional.empty();
    return new Pairing(pairs, left, incomplete);
  }

  private static double distance(Map<Key, Own> a, Map<Key, Own> b, List<Wanted> wanted) {
    double sum = 0;
    for (Wanted w : wanted) {
      double share = difference(a, b, w.key) / w.one.value();
      sum += share * share;
    }
    return Math.sqrt(sum);
  }

  private static double difference(Map<Key, Own> a, Map<Key, Own> b, Key key) {
    Figure first = figure(a, key);
    Figure second = figure(b, key);
    if (first instanceof Figure.OfQuantity one && second instanceof Figure.OfQuantity other) {
      return other.quantity().value() - one.quantity().value();
    }
    if (first instanceof Figure.OfCurve one && second instanceof Figure.OfCurve other) {
      return rootMeanSquare(one.curve(), other.curve());
    }
    throw new IllegalStateException(key.title() + " is a curve of one unit only");
  }

  private static Figure figure(Map<Key, Own> own, Key key) {
    Own one = own.get(key);
    if (one == null) {
      throw new IllegalStateException("a unit without " + key.title());
    }
    return one.figure;
  }

  private static double rootMeanSquare(Curve a, Curve b) {
    double[] places = OnGrid.shared(List.of(a, b));
    if (places.length == 0) {
      throw new IllegalStateException("two curves that share no place");
    }
    double[] first = OnGrid.values(a, places);
    double[] second = OnGrid.values(b, places);
    double sum = 0;
    for (int i = 0; i < places.length; i++) {
      sum += (second[i] - first[i]) * (second[i] - first[i]);
    }
    return Math.sqrt(sum / places.length);
  }
}
