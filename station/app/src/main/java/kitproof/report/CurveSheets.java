package kitproof.report;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.journal.RunRecord;
import kitproof.plot.Plot;
import kitproof.plot.Plots;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/** The curves of a record in plots that can be read: of one mask, and few in each. */
final class CurveSheets {
  /** As many as can be told apart at a glance. */
  private static final int MOST_CURVES = 6;

  private CurveSheets() {}

  /** What is drawn over one another if there is not too much of it. */
  private record Kind(String name, Object limit) {}

  static List<Plot> of(RunRecord record) {
    Map<Kind, List<Measurement>> kinds = new LinkedHashMap<>();
    for (RunRecord.Step step : record.steps()) {
      for (RunRecord.Result result : step.results()) {
        Measurement measurement = result.measurement();
        if (measurement.figure() instanceof Figure.OfCurve curve && curve.curve().size() > 1) {
          Object limit = result.judgement().limit();
          Kind kind = new Kind(measurement.name(), limit == null ? "none" : limit);
          kinds.computeIfAbsent(kind, k -> new ArrayList<>()).add(measurement);
        }
      }
    }
    // Whose they are stands at the foot of every sheet.
    Plots.Source source = new Plots.Source("", record.run(), Plots.Source.of(record).results());
    List<Plot> plots = new ArrayList<>();
    for (List<Measurement> kind : kinds.values()) {
      for (Set<Measurement> few : split(kind)) {
        plots.addAll(Plots.of(List.of(source), few::contains));
      }
    }
    return plots;
  }

  /** By the first condition that sets them apart, and again if that is not enough. */
  private static List<Set<Measurement>> split(List<Measurement> many) {
    if (many.size() > MOST_CURVES) {
      for (String condition : many.get(0).conditions().values().keySet()) {
        Map<String, List<Measurement>> parts = new LinkedHashMap<>();
        for (Measurement one : many) {
          String value = one.conditions().values().getOrDefault(condition, "");
          parts.computeIfAbsent(value, v -> new ArrayList<>()).add(one);
        }
        if (parts.size() > 1 && parts.size() < many.size()) {
          return parts.values().stream().flatMap(part -> split(part).stream()).toList();
        }
      }
    }
    return List.of(new LinkedHashSet<>(many));
  }
}
