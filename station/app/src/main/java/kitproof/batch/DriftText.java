package kitproof.batch;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import kitproof.limit.statistics.Drift;
import kitproof.limit.statistics.Interval;

/** Whose the drifts of a batch are, in words and for a program. */
public final class DriftText {
  private DriftText() {}

  /** Drifts that are somebody's, the surest first. */
  public static List<StationDrift> told(List<StationDrift> drifts) {
    return drifts.stream()
        .filter(drift -> drift.whose() != StationDrift.Whose.NOBODYS)
        .sorted((a, b) -> Double.compare(surest(a), surest(b)))
        .toList();
  }

  private static double surest(StationDrift drift) {
    return Math.min(drift.ofStation().probability(), drift.less().probability());
  }

  /** The lines to print; empty without a check standard. */
  public static List<String> lines(List<StationDrift> drifts, Set<String> standards) {
    if (standards.isEmpty()) {
      return List.of();
    }
    List<String> lines = new ArrayList<>();
    lines.add("");
    lines.add("Drift told apart by check standard " + String.join(", ", standards));
    if (drifts.isEmpty()) {
      lines.add(
          "  nothing to compare: fewer than "
              + StationDrift.LEAST
              + " runs of it around the batch with a result that the units have too");
      return lines;
    }
    Map<StationDrift.Whose, Long> counts =
        drifts.stream()
            .collect(
                Collectors.groupingBy(
                    StationDrift::whose, LinkedHashMap::new, Collectors.counting()));
    counts.forEach(
        (whose, count) -> lines.add("  " + count + " of " + drifts.size() + ": " + whose));
    for (StationDrift drift : told(drifts)) {
      lines.add(
          "  " + drift.series().title() + (stations(drifts) > 1 ? ", " + drift.station() : ""));
      lines.add("      " + drift.words());
    }
    return lines;
  }

  private static int stations(List<StationDrift> drifts) {
    return drifts.stream()
        .map(StationDrift::station)
        .collect(Collectors.toCollection(TreeSet::new))
        .size();
  }

  /** For a program to read; drifts are in the unit of the result, per day. */
  public static List<Map<String, Object>> tree(List<StationDrift> drifts) {
    return drifts.stream().map(DriftText::tree).toList();
  }

  private static Map<String, Object> tree(StationDrift drift) {
    Map<String, Object> tree = new LinkedHashMap<>();
    tree.put("result", drift.series().name());
    tree.put("conditions", drift.series().conditions().values());
    tree.put("unit", drift.series().unit().symbol());
    tree.put("station", drift.station());
    tree.put("checkStandard", drift.standard());
    tree.put("checkedBy", drift.reference());
    tree.put("checks", drift.checks());
    tree.put("whose", drift.whose().toString());
    tree.put("measuredPerDay", tree(drift.ofUnits()));
    tree.put("stationPerDay", tree(drift.ofStation()));
    tree.put("unitsPerDay", tree(drift.less()));
    return tree;
  }

  private static Map<String, Object> tree(Drift drift) {
    Interval bounds = drift.bounds(SeriesReport.CONFIDENCE);
    Map<String, Object> tree = new LinkedHashMap<>();
    tree.put("slope", drift.slope());
    tree.put("bounds", List.of(bounds.low(), bounds.high()));
    tree.put("probability", drift.probability());
    return tree;
  }
}
