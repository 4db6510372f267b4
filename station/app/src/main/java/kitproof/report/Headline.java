package kitproof.report;

import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import kitproof.journal.RunRecord;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/**
 * The few figures that a customer looks for, on the tap that was measured most.
 *
 * @param tap empty if the record tells of none
 * @param modes each a group of columns; one without a name if the record tells of none
 * @param channels the columns of each group; one without a name likewise
 * @param rows only figures that the record has
 */
record Headline(String tap, List<String> modes, List<String> channels, List<Row> rows) {
  /** Digits before the point, after it, and the unit. */
  private static final Pattern NUMBER = Pattern.compile("(-?\\d+)\\.?(\\d*)(\\D*)");

  private static final int DIGITS = 3;

  /**
   * One figure.
   *
   * @param note the conditions that all its values share; empty if there are none worth telling
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
    String tap = most(measured, "tap");
    List<Measurement> there =
        measured.stream()
            .filter(m -> m.conditions().values().getOrDefault("tap", tap).equals(tap))
            .toList();
    List<String> modes = values(there, "mode");
    List<String> channels = values(there, "channel");
    List<Row> rows = new ArrayList<>();
    for (HeadlineFigure figure : HeadlineFigure.ALL) {
      for (List<Measurement> same : byName(there.stream().filter(figure::is).toList())) {
        rows.add(
            new Row(
                figure.label(same.get(0).name()),
                note(figure, same),
                cells(same, modes, channels)));
      }
    }
    return new Headline(tap, modes, channels, rows);
  }

  private static Collection<List<Measurement>> byName(List<Measurement> measured) {
    Map<String, List<Measurement>> names = new LinkedHashMap<>();
    measured.forEach(m -> names.computeIfAbsent(m.name(), n -> new ArrayList<>()).add(m));
    return names.values();
  }

  /** "power 1 W \u00b7 drop 1 dB". */
  private static String note(HeadlineFigure figure, List<Measurement> all) {
    Map<String, String> shared = new LinkedHashMap<>(all.get(0).conditions().values());
    all.forEach(m -> shared.entrySet().retainAll(m.conditions().values().entrySet()));
    shared.keySet().removeAll(List.of("tap", "mode", "channel"));
    shared.keySet().removeAll(figure.when().values().keySet());
    return Wording.of(new Conditions(shared));
  }

  private static String most(List<Measurement> measured, String condition) {
    Map<String, Integer> counts = new LinkedHashMap<>();
    for (Measurement m : measured) {
      String value = m.conditions().values().get(condition);
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

  private static List<String> values(List<Measurement> measured, String condition) {
    List<String> values =
        measured.stream()
            .flatMap(m -> Optional.ofNullable(m.conditions().values().get(condition)).stream())
            .distinct()
            .toList();
    return values.isEmpty() ? List.of("") : values;
  }

  private static List<Cell> cells(
      List<Measurement> all, List<String> modes, List<String> channels) {
    if (all.stream().noneMatch(m -> names(m, "mode") || names(m, "channel"))) {
      return List.of(new Cell(text(all.get(0)), modes.size() * channels.size()));
    }
    List<Cell> cells = new ArrayList<>();
    for (String mode : modes) {
      Conditions inMode = condition(all, "mode", mode);
      if (all.stream().noneMatch(m -> names(m, "channel"))) {
        cells.add(new Cell(found(all, inMode), channels.size()));
        continue;
      }
      for (String channel : channels) {
        cells.add(new Cell(found(all, inMode.with("channel", channel)), 1));
      }
    }
    return cells;
  }

  private static Conditions condition(List<Measurement> all, String name, String value) {
    return all.stream().anyMatch(m -> names(m, name))
        ? Conditions.of(name, value)
        : Conditions.NONE;
  }

  private static boolean names(Measurement measurement, String condition) {
    return measurement.conditions().values().containsKey(condition);
  }

  private static String found(List<Measurement> all, Conditions conditions) {
    return all.stream()
        .filter(m -> m.conditions().satisfy(conditions))
        .findFirst()
        .map(Headline::text)
        .orElse("");
  }

  private static String text(Measurement measurement) {
    return measurement.figure() instanceof Figure.OfQuantity one
        ? Wording.set(padded(one.quantity().display(DIGITS)))
        : "invalid";
  }

  /** "26.0 dB" beside "27.2 dB": zeros at the end count as well. */
  private static String padded(String text) {
    Matcher number = NUMBER.matcher(text);
    if (!number.matches()) {
      return text;
    }
    String fraction = number.group(2);
    String digits = (number.group(1) + fraction).replaceFirst("^-?0*", "");
    int missing = DIGITS - digits.length();
    return missing <= 0 || digits.isEmpty()
        ? text
        : number.group(1) + "." + fraction + "0".repeat(missing) + number.group(3);
  }
}
