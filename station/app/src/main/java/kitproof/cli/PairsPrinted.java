package kitproof.cli;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import kitproof.batch.Batch;
import kitproof.batch.Pairing;

/** Matched pairs, for people and for programs. */
final class PairsPrinted {
  private PairsPrinted() {}

  static List<String> lines(Batch batch, Pairing pairing) {
    List<String> lines = new ArrayList<>();
    lines.add(
        "batch "
            + batch.name()
            + ": "
            + pairing.pairs().size()
            + (pairing.pairs().size() == 1 ? " pair" : " pairs")
            + " among the good units, all distances together as small as can be");
    for (Pairing.Pair pair : pairing.pairs()) {
      lines.add(
          String.format(
              Locale.ROOT,
              "  %s + %s   distance %.3f",
              pair.first(),
              pair.second(),
              pair.distance()));
      pair.differences()
          .forEach(
              (title, difference) -> lines.add("      " + title + ": " + difference.display()));
    }
    pairing.left().ifPresent(unit -> lines.add("  left without a partner: " + unit));
    pairing
        .incomplete()
        .forEach((unit, what) -> lines.add("  not paired: " + unit + " has no " + what));
    return lines;
  }

  static Map<String, Object> tree(Batch batch, Pairing pairing) {
    Map<String, Object> tree = new LinkedHashMap<>();
    tree.put("batch", batch.name());
    List<Map<String, Object>> pairs = new ArrayList<>();
    for (Pairing.Pair pair : pairing.pairs()) {
      Map<String, Object> one = new LinkedHashMap<>();
      one.put("first", pair.first());
      one.put("second", pair.second());
      one.put("distance", pair.distance());
      Map<String, Object> differences = new LinkedHashMap<>();
      pair.differences()
          .forEach(
              (title, difference) ->
                  differences.put(
                      title,
                      Map.of("value", difference.value(), "unit", difference.unit().symbol())));
      one.put("differences", differences);
      pairs.add(one);
    }
    tree.put("pairs", pairs);
    tree.put("left", pairing.left().orElse(null));
    tree.put("incomplete", pairing.incomplete());
    return tree;
  }
}
