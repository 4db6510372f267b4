package kitproof.plot;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.limit.Limit;

/**
 * How a mask looks, and what the legend calls it: several in one plot are told apart by colour and,
 * without any, by their dashes.
 *
 * @param fill of what is good
 * @param edge of its edges
 * @param dash of those
 * @param opacity of the fill, so that masks that overlap are both seen
 */
record MaskStyle(String label, String fill, String edge, String dash, double opacity) {
  private static final List<String> FILLS = List.of("#e4f0e6", "#f8e3ea", "#e3e4f5", "#efe5da");
  private static final List<String> EDGES = List.of("#4f7f5a", "#b03a62", "#4a4fa3", "#7a5230");
  private static final List<String> DASHES = List.of("5 3", "2 2", "9 3", "9 3 2 3");

  /** What is good, where only one thing is judged. */
  static final String GOOD = FILLS.get(0);

  /** The edge of that. */
  static final String GOOD_EDGE = EDGES.get(0);

  /** The plot's masks, each once, in the order of their lines. */
  static Map<Limit.Mask, MaskStyle> of(Plot plot) {
    Map<Limit.Mask, List<String>> labels = new LinkedHashMap<>();
    for (Plot.Line line : plot.lines()) {
      for (Limit.Mask mask : line.masks()) {
        labels.computeIfAbsent(mask, m -> new ArrayList<>()).add(line.label());
      }
    }
    Map<Limit.Mask, MaskStyle> styles = new LinkedHashMap<>();
    labels.forEach(
        (mask, of) -> {
          int i = styles.size();
          boolean alone = labels.size() == 1;
          styles.put(
              mask,
              new MaskStyle(
                  alone ? "within the mask" : "mask of " + common(of, i),
                  FILLS.get(i % FILLS.size()),
                  EDGES.get(i % EDGES.size()),
                  DASHES.get(i % DASHES.size()),
                  alone ? 1 : 0.5));
        });
    return styles;
  }

  /** What all lines judged by a mask have in common: "mode triode". */
  private static String common(List<String> labels, int index) {
    Set<String> words = new LinkedHashSet<>(Arrays.asList(labels.get(0).split(", ")));
    for (String label : labels) {
      words.retainAll(Arrays.asList(label.split(", ")));
    }
    String common = String.join(", ", words);
    if (!common.isEmpty()) {
      return common;
    }
    return labels.size() == 2 ? String.join(" and ", labels) : "kind " + (index + 1);
  }
}
