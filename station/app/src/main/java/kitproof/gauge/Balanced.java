package kitproof.gauge;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.limit.statistics.GaugeData;
import org.jspecify.annotations.Nullable;

/**
 * The readings that every appraiser has of every unit equally often; a study that has holes, or is
 * not done yet, is read as far as it goes.
 *
 * @param data null if that is too little
 * @param left what was left out or is missing, for people; empty if nothing is
 */
record Balanced(@Nullable GaugeData data, List<String> left) {
  private static final int LEAST = 2;

  Balanced {
    left = List.copyOf(left);
  }

  static Balanced of(List<GaugeData.Reading> readings) {
    Set<String> appraisers = new LinkedHashSet<>();
    Map<String, Map<String, List<GaugeData.Reading>>> byUnit = new LinkedHashMap<>();
    for (GaugeData.Reading reading : readings) {
      appraisers.add(reading.appraiser());
      byUnit
          .computeIfAbsent(reading.unit(), u -> new LinkedHashMap<>())
          .computeIfAbsent(reading.appraiser(), a -> new ArrayList<>())
          .add(reading);
    }
    List<String> left = new ArrayList<>();
    List<Map<String, List<GaugeData.Reading>>> whole = new ArrayList<>();
    byUnit.forEach(
        (unit, cells) -> {
          if (appraisers.stream().allMatch(a -> count(cells, a) >= LEAST)) {
            whole.add(cells);
          } else {
            left.add(unit + " left out: not measured twice by everyone");
          }
        });
    if (whole.size() < LEAST || appraisers.size() < LEAST) {
      left.add(
          0,
          "too little: "
              + whole.size()
              + " units measured twice by each of "
              + appraisers.size()
              + ", where 2 by 2 are needed");
      return new Balanced(null, left);
    }
    int repeats =
        whole.stream()
            .flatMap(cells -> cells.values().stream())
            .mapToInt(List::size)
            .min()
            .orElse(0);
    List<GaugeData.Reading> taken = new ArrayList<>();
    int all = 0;
    for (Map<String, List<GaugeData.Reading>> cells : whole) {
      for (String appraiser : appraisers) {
        List<GaugeData.Reading> cell = cells.getOrDefault(appraiser, List.of());
        taken.addAll(cell.subList(0, repeats));
        all += cell.size();
      }
    }
    if (all > taken.size()) {
      left.add((all - taken.size()) + " readings beyond " + repeats + " repeats left out");
    }
    return new Balanced(GaugeData.of(taken), left);
  }

  private static int count(Map<String, List<GaugeData.Reading>> cells, String appraiser) {
    return cells.getOrDefault(appraiser, List.of()).size();
  }
}
