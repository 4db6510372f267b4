package kitproof.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import kitproof.journal.RunRecord;
import kitproof.value.Measurement;

/**
 * The few figures that a customer looks for, on the tap that was measured most.
 *
 * @param tap empty if the record tells of none
 * @param tone the frequency of every row that names one; empty if they differ
 * @param modes each a group of columns; one without a name if the record tells of none
 * @param channels the columns of each group; one without a name likewise
 * @param rows only figures that the record has
 */
record Headline(
    String tap, String tone, List<String> modes, List<String> channels, List<Row> rows) {
  /**
   * One figure.
   *
   * @param note the conditions that it holds under, in brief; empty if there are none worth telling
   * @param cells its values, from left to right over all columns
   */
  record Row(String label, String note, List<Cell> cells) {}

  /**
   * A value.
   *
   * @param text empty if there is none
   * @param columns how many it stands under
   */
  record Cell(String text, int columns) {}

  static Headline of(RunRecord record) {
    List<Measurement> measured =
        record.steps().stream()
            .flatMap(step -> step.results().stream())
            .map(RunRecord.Result::measurement)
            .filter(m -> HeadlineFigure.ALL.stream().anyMatch(f -> f.is(m)))
            .toList();
    String tap = most(measured);
    List<Measurement> there =
        measured.stream()
            .filter(m -> m.conditions().values().getOrDefault("tap", tap).equals(tap))
            .toList();
    List<HeadlineGroup> groups =
        HeadlineFigure.ALL.stream()
            .flatMap(figure -> HeadlineGroup.of(figure, there).stream())
            .toList();
    String tone = tone(groups);
    List<String> modes = columns(there.stream().map(HeadlineGroup::mode));
    List<String> channels = columns(there.stream().map(HeadlineGroup::channel));
    List<Row> rows = new ArrayList<>();
    for (HeadlineGroup group : groups) {
      rows.add(new Row(group.label(), group.note(tone), group.cells(modes, channels)));
    }
    return new Headline(tap, tone, modes, channels, rows);
  }

  /** What several rows share is told once. */
  private static String tone(List<HeadlineGroup> groups) {
    List<String> tones =
        groups.stream().map(HeadlineGroup::tone).filter(tone -> !tone.isEmpty()).toList();
    return tones.size() > 1 && tones.stream().distinct().count() == 1 ? tones.get(0) : "";
  }

  private static String most(List<Measurement> measured) {
    Map<String, Integer> counts = new LinkedHashMap<>();
    for (Measurement m : measured) {
      String value = m.conditions().values().get("tap");
      if (value != null) {
        counts.merge(value, 1, Integer::sum);
      }
    }
    // Of equals the one in the middle stands for the others best: 8 ohm of 4, 8 and 16.
    int top = counts.values().stream().mapToInt(Integer::intValue).max().orElse(0);
    List<String> best =
        counts.entrySet().stream()
            .filter(e -> e.getValue() == top)
            .map(Map.Entry::getKey)
            .sorted(Comparator.comparingDouble(Headline::number))
            .toList();
    return best.isEmpty() ? "" : best.get(best.size() / 2);
  }

  /** The number a text begins with, for its order only. */
  private static double number(String text) {
    String digits = text.replaceFirst("^(\\d{0,9}).*", "$1");
    return digits.isEmpty() ? 0 : Double.parseDouble(digits);
  }

  private static List<String> columns(Stream<String> names) {
    List<String> columns = names.filter(name -> !name.isEmpty()).distinct().toList();
    return columns.isEmpty() ? List.of("") : columns;
  }
}
