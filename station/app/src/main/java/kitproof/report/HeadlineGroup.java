package kitproof.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.plan.ChannelRoutes;
import kitproof.value.Conditions;
import kitproof.value.Measurement;

/**
 * Measurements that make up one row: of one name, differing only in mode and channel.
 *
 * @param others the conditions but for tap, mode and channel
 * @param all not empty
 */
record HeadlineGroup(HeadlineFigure figure, Conditions others, List<Measurement> all) {
  private static final String MODE = "mode";
  private static final String CHANNEL = "channel";
  private static final String TONE = "frequency";
  private static final String WEIGHTING = "weighting";

  /** Of several weightings a customer wants the one that follows the ear, then the plain figure. */
  private static final List<String> PREFERRED = List.of("A", "none");

  private record Kind(String name, Conditions others, boolean perChannel) {}

  /** The rows of a figure, in the order in which they were measured. */
  static List<HeadlineGroup> of(HeadlineFigure figure, List<Measurement> measured) {
    Map<String, List<Measurement>> byName = new LinkedHashMap<>();
    measured.stream()
        .filter(figure::is)
        .forEach(m -> byName.computeIfAbsent(m.name(), n -> new ArrayList<>()).add(m));
    Map<Kind, List<Measurement>> kinds = new LinkedHashMap<>();
    for (List<Measurement> same : byName.values()) {
      for (Measurement m : preferred(same)) {
        Kind kind = new Kind(m.name(), others(m), !channel(m).isEmpty());
        kinds.computeIfAbsent(kind, k -> new ArrayList<>()).add(m);
      }
    }
    return kinds.entrySet().stream()
        .map(e -> new HeadlineGroup(figure, e.getKey().others(), e.getValue()))
        .toList();
  }

  private static List<Measurement> preferred(List<Measurement> same) {
    for (String weighting : PREFERRED) {
      if (same.stream().anyMatch(m -> value(m, WEIGHTING).equals(weighting))) {
        return same.stream()
            .filter(m -> Set.of("", weighting).contains(value(m, WEIGHTING)))
            .toList();
      }
    }
    return same;
  }

  private static Conditions others(Measurement measurement) {
    Map<String, String> others = new LinkedHashMap<>(measurement.conditions().values());
    others.keySet().removeAll(List.of("tap", MODE, CHANNEL));
    return new Conditions(others);
  }

  private static String value(Measurement measurement, String condition) {
    return measurement.conditions().values().getOrDefault(condition, "");
  }

  /** Empty if the measurement names none. */
  static String mode(Measurement measurement) {
    return value(measurement, MODE);
  }

  /** Empty if the measurement is of no channel alone. */
  static String channel(Measurement measurement) {
    String channel = value(measurement, CHANNEL);
    return channel.equals(ChannelRoutes.BOTH) ? "" : channel;
  }

  /** "Output impedance at 1 kHz". */
  String label() {
    return figure.label(all.get(0).name());
  }

  /** Its frequency; empty if it names none. */
  String tone() {
    return others.values().getOrDefault(TONE, "");
  }

  /**
   * Its conditions, in brief, but for what the label tells.
   *
   * @param told the frequency that is told elsewhere
   */
  String note(String told) {
    Map<String, String> worth = new LinkedHashMap<>(others.values());
    worth.keySet().removeAll(figure.when().values().keySet());
    worth.remove(TONE, told);
    return Brief.of(new Conditions(worth));
  }

  /** What belongs to no mode, or to no channel, stands under all of them. */
  List<Headline.Cell> cells(List<String> modes, List<String> channels) {
    boolean anyMode = all.stream().anyMatch(m -> !mode(m).isEmpty());
    boolean perChannel = !channel(all.get(0)).isEmpty();
    if (!anyMode && !perChannel) {
      return List.of(new Headline.Cell(text(all), modes.size() * channels.size()));
    }
    List<Headline.Cell> cells = new ArrayList<>();
    for (String mode : modes) {
      List<Measurement> inMode =
          all.stream().filter(m -> !anyMode || mode(m).equals(mode)).toList();
      if (!perChannel || inMode.isEmpty()) {
        cells.add(new Headline.Cell(text(inMode), channels.size()));
        continue;
      }
      for (String channel : channels) {
        List<Measurement> its = inMode.stream().filter(m -> channel(m).equals(channel)).toList();
        cells.add(new Headline.Cell(text(its), 1));
      }
    }
    return cells;
  }

  private static String text(List<Measurement> one) {
    return one.isEmpty() ? "" : HeadlineValue.of(one.get(0).figure());
  }
}
