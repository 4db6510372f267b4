package kitproof.plot;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import kitproof.event.Event;
import kitproof.journal.ResultDocument;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/** The curves of records, those of one result over one another. */
public final class Plots {
  private static final String MARK = "mark";

  private Plots() {}

  /**
   * Results with where they come from.
   *
   * @param what the unit, or what was analysed; empty where a reader knows it anyway
   * @param run the run's name; of an analysis what was analysed
   * @param mark what is to be told with each of its curves: "UNCALIBRATED"; empty if nothing
   */
  public record Source(String what, String run, List<RunRecord.Result> results, String mark) {
    public Source {
      results = List.copyOf(results);
    }

    /** Of which nothing is to be told, or where it is told elsewhere. */
    public Source(String what, String run, List<RunRecord.Result> results) {
      this(what, run, results, "");
    }

    /** Everything that a run measured. */
    public static Source of(RunRecord record) {
      return new Source(
          record.product() + " " + record.unit(),
          record.run(),
          record.steps().stream().flatMap(step -> step.results().stream()).toList(),
          record.calibration().filter(told -> !told.calibrated()).isPresent()
              ? Event.CalibrationTold.UNCALIBRATED
              : "");
    }

    /** Everything that an analysis found; nothing of it is judged. */
    public static Source of(ResultDocument document) {
      return new Source(
          document.title(),
          document.title(),
          document.results().stream()
              .map(
                  m ->
                      new RunRecord.Result(
                          m,
                          new Judgement(
                              Judgement.Outcome.NOT_JUDGED, null, "an analysis is not judged")))
              .toList());
    }
  }

  /** A curve with where it comes from. */
  private record Found(
      Source source,
      Measurement measurement,
      Curve curve,
      List<Limit.Mask> masks,
      List<Curve> guards) {
    /** The conditions, and what tells the run. */
    Map<String, String> facts() {
      Map<String, String> facts = new LinkedHashMap<>();
      facts.put("", source.what());
      facts.put("run", source.run());
      facts.put(MARK, source.mark());
      facts.putAll(measurement.conditions().values());
      return facts;
    }
  }

  /** The names of all results that are curves, in their order. */
  public static Set<String> names(List<Source> sources) {
    return found(sources, r -> true).stream()
        .map(f -> f.measurement.name())
        .collect(Collectors.toCollection(LinkedHashSet::new));
  }

  /**
   * One plot for each result that is wanted.
   *
   * @param wanted by name and conditions
   * @return in the order of the first record; empty if no curve is wanted
   */
  public static List<Plot> of(List<Source> sources, Predicate<Measurement> wanted) {
    Map<String, List<Found>> byName = new LinkedHashMap<>();
    for (Found found : found(sources, wanted)) {
      String kind = found.measurement.name() + found.curve.xUnit() + found.curve.yUnit();
      byName.computeIfAbsent(kind, name -> new ArrayList<>()).add(found);
    }
    return byName.values().stream().map(Plots::plot).toList();
  }

  private static List<Found> found(List<Source> sources, Predicate<Measurement> wanted) {
    List<Found> all = new ArrayList<>();
    for (Source source : sources) {
      for (RunRecord.Result result : source.results()) {
        Measurement measurement = result.measurement();
        if (measurement.figure() instanceof Figure.OfCurve figure
            && figure.curve().size() > 0
            && wanted.test(measurement)) {
          List<Limit.Mask> masks =
              result.judgement().limit() instanceof Limit.Mask mask ? List.of(mask) : List.of();
          List<Curve> guards =
              GuardBand.of(figure.curve(), measurement.uncertainty(), result.judgement());
          all.add(new Found(source, measurement, figure.curve(), masks, guards));
        }
      }
    }
    return all;
  }

  private static Plot plot(List<Found> curves) {
    Map<String, String> shared = new LinkedHashMap<>(curves.get(0).facts());
    for (Found curve : curves) {
      shared.entrySet().retainAll(curve.facts().entrySet());
    }
    // The run's name says nothing where the units already differ.
    boolean byUnit =
        curves.stream().map(c -> c.source.what()).distinct().count()
            == curves.stream().map(c -> c.source.run()).distinct().count();
    List<Plot.Line> lines =
        curves.stream()
            .map(c -> new Plot.Line(words(c.facts(), shared, byUnit), c.curve, c.masks, c.guards))
            .toList();
    return new Plot(curves.get(0).measurement.name(), words(shared, Map.of(), byUnit), lines);
  }

  private static String words(
      Map<String, String> facts, Map<String, String> but, boolean withoutRun) {
    Map<String, String> kept = new LinkedHashMap<>(facts);
    kept.keySet().removeAll(but.keySet());
    String run = kept.remove("run");
    String unit = kept.remove("");
    String mark = kept.remove(MARK);
    List<String> words = new ArrayList<>();
    if (unit != null && !unit.isEmpty()) {
      words.add(unit);
    }
    if (run != null && !withoutRun) {
      words.add("run " + run);
    }
    if (!kept.isEmpty()) {
      words.add(new Conditions(kept).toString());
    }
    if (mark != null && !mark.isEmpty()) {
      words.add(mark);
    }
    return String.join(", ", words);
  }
}
