package kitproof.selfcheck;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import kitproof.event.Verdict;
import kitproof.journal.History;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.limit.statistics.IndividualsChart;
import kitproof.limit.statistics.RuleMark;
import kitproof.limit.statistics.RunRule;
import kitproof.procedure.NormalisedError;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;

/**
 * A check of the station, judged: by its verdict, by its normalised errors, and by the individuals
 * chart of earlier good checks against the same calibration.
 *
 * @param figures what was found, in order
 * @param reasons what locks the station; empty if nothing does
 * @param warnings patterns in the chart that do not lock it
 */
public record Selfcheck(List<Line> figures, List<String> reasons, List<String> warnings) {
  /** Earlier checks before the chart counts (common practice, no source). */
  public static final int CHART_FROM = 8;

  /** Figures of which less is no trouble. */
  private static final Set<String> ONLY_MORE_IS_WORSE = Set.of("loop thd+n", "loop noise");

  /** Patterns of something that moves, before it is out of its limits. */
  private static final List<RunRule> DRIFT =
      List.of(
          RunRule.TWO_OF_THREE,
          RunRule.FOUR_OF_FIVE,
          RunRule.EIGHT_ON_ONE_SIDE,
          RunRule.SIX_RISING_OR_FALLING);

  public Selfcheck {
    figures = List.copyOf(figures);
    reasons = List.copyOf(reasons);
    warnings = List.copyOf(warnings);
  }

  /**
   * One figure.
   *
   * @param title of the result
   * @param found its value
   * @param error its normalised error, if the calibration knows the figure
   * @param earlier how many earlier checks stand in its chart
   * @param low the chart's lower limit, in the figure's plain unit; NaN without a chart, infinite
   *     where less is no trouble
   * @param high its upper limit
   */
  public record Line(
      String title, Quantity found, Optional<Double> error, int earlier, double low, double high) {
    /** The chart, for people. */
    public String chart() {
      return Double.isNaN(low)
          ? earlier + " of " + CHART_FROM + " checks for a chart"
          : Selfcheck.chart(low, high, found);
    }
  }

  /** Whether nothing locks the station. */
  public boolean good() {
    return reasons.isEmpty();
  }

  /**
   * Judges a run of the check standard.
   *
   * @param run what was found
   * @param records folder with the records of earlier runs
   * @throws IOException if an earlier record cannot be read
   */
  public static Selfcheck of(RunRecord run, Path records) throws IOException {
    return of(run, earlier(run, records));
  }

  /** The same, with the earlier good checks of this station, oldest first. */
  static Selfcheck of(RunRecord run, List<RunRecord> earlier) {
    List<String> reasons = new ArrayList<>(errors(run));
    List<String> warnings = new ArrayList<>();
    List<Line> lines = new ArrayList<>();
    for (Measurement each : measurements(run)) {
      if (each.figure() instanceof Figure.OfQuantity of
          && !each.name().endsWith(NormalisedError.SUFFIX)) {
        lines.add(line(run, each, of.quantity(), earlier, reasons, warnings));
      }
    }
    if (run.verdict() != Verdict.PASS && reasons.isEmpty()) {
      reasons.add(
          run.verdict() == Verdict.FAIL
              ? "the check failed: " + String.join(", ", run.failed())
              : "the check did not come to its end: " + run.reason());
    }
    return new Selfcheck(lines, reasons, warnings);
  }

  private static List<RunRecord> earlier(RunRecord run, Path records) throws IOException {
    List<RunRecord> all = new ArrayList<>();
    for (History.Attempt attempt : History.of(records, run.product(), run.unit())) {
      if (attempt.verdict() == Verdict.PASS && !attempt.run().equals(run.run())) {
        RunRecord record = RecordDocument.read(records.resolve(attempt.run() + ".json"));
        if (record.station().equals(run.station())
            && record.started().isBefore(run.started())
            && String.valueOf(record.digests().get("calibration"))
                .equals(String.valueOf(run.digests().get("calibration")))) {
          all.add(record);
        }
      }
    }
    return goodOnes(all);
  }

  /**
   * Those of these passed checks that were good by the chart of the good ones before them: what has
   * locked the station must not become what it is held against, however often it is repeated.
   *
   * <p>Its time goes with the square of their count: a calibration holds for a year of daily checks
   * of a handful of figures at most.
   *
   * @param passed oldest first
   */
  static List<RunRecord> goodOnes(List<RunRecord> passed) {
    List<RunRecord> good = new ArrayList<>();
    for (RunRecord record : passed) {
      if (of(record, good).good()) {
        good.add(record);
      }
    }
    return good;
  }

  /** How many of a run's figures were held against the calibration. */
  public static long compared(RunRecord run) {
    return measurements(run).stream()
        .filter(m -> m.name().endsWith(NormalisedError.SUFFIX))
        .filter(m -> m.figure() instanceof Figure.OfQuantity)
        .count();
  }

  /** What of a run's normalised errors is out of bounds, for people; also of a unit's run. */
  public static List<String> errors(RunRecord run) {
    List<String> reasons = new ArrayList<>();
    for (Measurement each : measurements(run)) {
      if (each.name().endsWith(NormalisedError.SUFFIX)
          && each.figure() instanceof Figure.OfQuantity of
          && NormalisedError.beyond(of.quantity().value())) {
        String name = each.name().substring(0, each.name().indexOf(NormalisedError.SUFFIX));
        String found =
            beside(run, each, name)
                .map(m -> " is " + shown(((Figure.OfQuantity) m.figure()).quantity()))
                .orElse("");
        reasons.add(
            String.format(
                Locale.ROOT,
                "%s%s: its normalised error against the calibration is %.2f, the limit -1 to 1",
                name + " (" + each.conditions() + ")",
                found,
                of.quantity().value()));
      }
    }
    return reasons;
  }

  private static String shown(Quantity quantity) {
    return quantity.display(5);
  }

  private static List<Measurement> measurements(RunRecord run) {
    return run.steps().stream()
        .flatMap(step -> step.results().stream())
        .map(RunRecord.Result::measurement)
        .toList();
  }

  private static Optional<Measurement> beside(RunRecord run, Measurement one, String name) {
    return measurements(run).stream()
        .filter(m -> m.name().equals(name) && m.conditions().equals(one.conditions()))
        .filter(m -> m.figure() instanceof Figure.OfQuantity)
        .findFirst();
  }

  private static Line line(
      RunRecord run,
      Measurement found,
      Quantity value,
      List<RunRecord> earlier,
      List<String> reasons,
      List<String> warnings) {
    Optional<Double> error =
        beside(run, found, found.name() + NormalisedError.SUFFIX)
            .map(m -> ((Figure.OfQuantity) m.figure()).quantity().value());
    List<Double> before = new ArrayList<>();
    for (RunRecord record : earlier) {
      beside(record, found, found.name())
          .ifPresent(m -> before.add(((Figure.OfQuantity) m.figure()).quantity().value()));
    }
    if (before.size() < CHART_FROM) {
      return new Line(found.title(), value, error, before.size(), Double.NaN, Double.NaN);
    }
    IndividualsChart chart =
        IndividualsChart.of(before.stream().mapToDouble(Double::doubleValue).toArray());
    double reach = 3 * Math.max(chart.sigma(), repeatability(found));
    double low =
        ONLY_MORE_IS_WORSE.contains(found.name())
            ? Double.NEGATIVE_INFINITY
            : chart.limits().centre() - reach;
    double high = chart.limits().centre() + reach;
    if (value.value() < low || value.value() > high) {
      reasons.add(
          found.title()
              + " is "
              + shown(value)
              + ", outside its control chart of "
              + before.size()
              + " checks, "
              + chart(low, high, value));
    } else {
      pattern(before, value.value()).ifPresent(w -> warnings.add(found.title() + ": " + w));
    }
    return new Line(found.title(), value, error, before.size(), low, high);
  }

  /** The limits of a chart, for people. */
  private static String chart(double low, double high, Quantity of) {
    String upper = shown(Quantity.of(high, of.unit()));
    return Double.isInfinite(low)
        ? "at most " + upper
        : shown(Quantity.of(low, of.unit())) + " to " + upper;
  }

  /** A pattern of several checks that ends with this one. */
  private static Optional<String> pattern(List<Double> before, double value) {
    double[] all = new double[before.size() + 1];
    for (int i = 0; i < before.size(); i++) {
      all[i] = before.get(i);
    }
    all[before.size()] = value;
    return IndividualsChart.of(all).marks(DRIFT).stream()
        .filter(mark -> mark.index() == before.size())
        .map(RuleMark::rule)
        .map(RunRule::toString)
        .findFirst();
  }

  /** The standard uncertainty of what scatters within one check. */
  private static double repeatability(Measurement found) {
    Uncertainty uncertainty = found.uncertainty();
    if (uncertainty == null) {
      return 0;
    }
    double sum = 0;
    for (Contribution each : uncertainty.budget()) {
      sum += each.evaluation() == Evaluation.TYPE_A ? each.effect() * each.effect() : 0;
    }
    return Math.sqrt(sum);
  }
}
