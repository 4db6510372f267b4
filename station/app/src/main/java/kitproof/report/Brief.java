package kitproof.report;

import java.util.stream.Collectors;
import kitproof.value.Conditions;

/**
 * Conditions in as few words as a reader of the front page needs to tell one figure from another.
 */
final class Brief {
  private Brief() {}

  /** "A-weighted · 20 Hz–20 kHz · rated 12 W". */
  static String of(Conditions conditions) {
    return conditions.values().entrySet().stream()
        .map(condition -> word(condition.getKey(), condition.getValue()))
        .collect(Collectors.joining(" \u00b7 "));
  }

  private static String word(String name, String value) {
    return Wording.set(
        switch (name) {
          case "mode", "channel", "point", "power", "frequency" -> value;
          case "band" -> value.replace("..", "\u2013");
          case "weighting" -> weighting(value);
          default -> name + " " + value;
        });
  }

  private static String weighting(String value) {
    return switch (value) {
      case "none" -> "unweighted";
      case "A" -> "A-weighted";
      case "C" -> "C-weighted";
      default -> value;
    };
  }
}
