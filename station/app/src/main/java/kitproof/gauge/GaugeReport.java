package kitproof.gauge;

import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;

/**
 * What a study tells: the fold of its records, and nothing else.
 *
 * @param name of the study, or of the batch whose ordinary runs are read as one
 * @param by what was compared
 * @param study how it was drawn; null if ordinary runs are read as one
 * @param trials that came to their end
 * @param results what limits are hardest to judge first
 * @param unreadable records that could not be read
 */
public record GaugeReport(
    String name,
    Study.By by,
    @Nullable Study study,
    List<Trialled> trials,
    List<GaugeResult> results,
    List<String> unreadable) {
  public GaugeReport {
    trials = List.copyOf(trials);
    results = List.copyOf(results);
    unreadable = List.copyOf(unreadable);
  }

  /** Works out everything. */
  public static GaugeReport of(
      String name,
      Study.By by,
      @Nullable Study study,
      List<Trialled> trials,
      GaugeSeries.Question question,
      List<String> unreadable) {
    List<GaugeResult> results =
        GaugeSeries.of(trials, question).stream()
            .map(GaugeResult::of)
            .sorted(Comparator.comparingDouble(GaugeResult::badness).reversed())
            .toList();
    return new GaugeReport(name, by, study, trials, results, unreadable);
  }

  /** The units measured so far. */
  public List<String> units() {
    Set<String> units =
        study == null
            ? trials.stream()
                .map(t -> t.run().unit())
                .collect(Collectors.toCollection(LinkedHashSet::new))
            : new LinkedHashSet<>(study.units());
    return List.copyOf(units);
  }

  /** Who or what measured. */
  public List<String> appraisers() {
    Set<String> appraisers =
        study == null
            ? trials.stream()
                .map(Trialled::appraiser)
                .collect(Collectors.toCollection(LinkedHashSet::new))
            : new LinkedHashSet<>(study.appraisers());
    return List.copyOf(appraisers);
  }

  /** How many trials are still to do. */
  public int left() {
    return study == null ? 0 : study.order().size() - trials.size();
  }

  /** Results whose limits can be asked about. */
  public List<GaugeResult> limited() {
    return results.stream()
        .filter(r -> r.series().low() != null || r.series().high() != null)
        .toList();
  }
}
