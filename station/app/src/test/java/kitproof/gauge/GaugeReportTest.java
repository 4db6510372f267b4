package kitproof.gauge;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.Limit;
import kitproof.limit.LimitFile;
import kitproof.limit.statistics.GaugeAbility.Grade;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A study is the fold of its records. */
class GaugeReportTest {
  private static final Limit.Scalar WIDE =
      new Limit.Scalar(Quantity.of(-20, Unit.DECIBEL), Quantity.of(20, Unit.DECIBEL));

  @TempDir Path folder;

  private static Study study(List<String> units, List<String> appraisers, int repeats) {
    return Study.drawn(
        "spring",
        Study.By.APPRAISER,
        false,
        5,
        repeats,
        units,
        appraisers,
        "Linnet 12",
        "B",
        Map.of("plan", "sha256:01"));
  }

  private static GaugeSeries.Question all(Quantity... places) {
    return new GaugeSeries.Question(null, List.of(places), m -> true);
  }

  private static GaugeReport report(Study study, List<RunRecord> runs, Quantity... places) {
    return GaugeReport.of(
        "spring", study.by(), study, Trialled.of(study, runs), all(places), List.of());
  }

  private static GaugeResult gain(GaugeReport report) {
    return report.results().stream()
        .filter(r -> r.series().name().equals("gain"))
        .findFirst()
        .orElseThrow();
  }

  /**
   * The published study of 10 parts, 3 appraisers and 3 trials (AIAG, Measurement Systems Analysis,
   * 4th edition, 2010, chapter III), each reading in a record of its own, in the drawn order: by
   * averages and ranges GRR 0.30575, PV 1.10456, 26.68 % of the total, 5 categories; by analysis of
   * variance EV 0.199933, AV 0.226838, GRR 0.302373, PV 1.042327 (those from memory).
   */
  @Test
  void thePublishedStudyThroughRecords() throws IOException {
    Map<String, Double> published = published();
    List<String> units = new ArrayList<>();
    for (int i = 1; i <= 10; i++) {
      units.add(String.valueOf(i));
    }
    Study study = study(units, List.of("A", "B", "C"), 3);
    StudyRecords records = new StudyRecords(study);
    List<RunRecord> runs = new ArrayList<>();
    for (Study.Trial trial : study.order()) {
      double reading = published.get(trial.appraiser() + "/" + trial.unit() + "/" + trial.repeat());
      runs.add(records.trial(trial, reading, WIDE, Verdict.PASS));
    }
    assertThat(runs).hasSize(90);
    GaugeReport report = report(study, runs);
    GaugeResult gain = gain(report);
    assertThat(gain.anova()).isNotNull();
    assertThat(gain.anova().pooled()).isTrue();
    assertThat(gain.anova().spread().repeatability()).isCloseTo(0.199933, within(5e-7));
    assertThat(gain.anova().spread().reproducibility()).isCloseTo(0.226838, within(5e-7));
    assertThat(gain.anova().spread().gauge()).isCloseTo(0.302373, within(2e-6));
    assertThat(gain.anova().spread().unitVariation()).isCloseTo(1.042327, within(5e-7));
    assertThat(gain.ranges()).isNotNull();
    assertThat(gain.ranges().spread().gauge()).isCloseTo(0.30575, within(5e-5));
    assertThat(gain.ranges().spread().unitVariation()).isCloseTo(1.10456, within(5e-4));
    assertThat(100 * gain.ranges().spread().shareOfTotal()).isCloseTo(26.68, within(0.01));
    assertThat((int) gain.ranges().spread().distinctCategories()).isEqualTo(5);
    // Six deviations of 0.302373 in a tolerance of 40.
    assertThat(gain.ability()).isNotNull();
    assertThat(gain.ability().share()).isCloseTo(6 * 0.302373 / 40, within(1e-6));
    assertThat(gain.ability().grade()).isEqualTo(Grade.ABLE);
    assertThat(gain.sentence())
        .startsWith("The station can judge this limit: its own spread takes 4.54 % of the");
    assertThat(GaugeText.lines(report))
        .contains("    1  yes")
        .anyMatch(l -> l.contains("90 of 90 trials done"))
        .anyMatch(l -> l.matches(" +4\\.54 % +28 % +4 .* pooled .* gain \\(channel left\\)"));
  }

  private static Map<String, Double> published() throws IOException {
    Path file = Path.of("").toAbsolutePath();
    String name = "limits/src/test/resources/kitproof/limit/statistics/grr_data.csv";
    while (!Files.exists(file.resolve(name))) {
      file = file.getParent();
    }
    CSVFormat format = CSVFormat.RFC4180.builder().setHeader().setSkipHeaderRecord(true).get();
    Map<String, Double> readings = new LinkedHashMap<>();
    try (CSVParser rows = CSVParser.parse(Files.readString(file.resolve(name)), format)) {
      for (CSVRecord row : rows) {
        if (row.get("study").equals("aiag10x3x3")) {
          readings.put(
              row.get("appraiser") + "/" + row.get("part") + "/" + row.get("trial"),
              Double.valueOf(row.get("y")));
        }
      }
    }
    assertThat(readings).hasSize(90);
    return readings;
  }

  /** The gauge's deviation is known here: 0.1 and 0.2 dB together 0.224 dB. */
  @Test
  void aLimitThatTheStationCannotJudgeIsTold() {
    Study study = study(List.of("1", "2", "3", "4", "5", "6"), List.of("A", "B", "C", "D"), 4);
    StudyRecords records = new StudyRecords(study);
    Random random = new Random(9);
    Map<String, Double> own = new LinkedHashMap<>();
    List<RunRecord> runs = new ArrayList<>();
    Limit.Scalar narrow =
        new Limit.Scalar(Quantity.of(-1, Unit.DECIBEL), Quantity.of(1, Unit.DECIBEL));
    for (Study.Trial trial : study.order()) {
      double unit = own.computeIfAbsent(trial.unit(), u -> 0.5 * random.nextGaussian());
      double who = own.computeIfAbsent(trial.appraiser(), a -> 0.2 * random.nextGaussian());
      runs.add(
          records.trial(trial, unit + who + 0.1 * random.nextGaussian(), narrow, Verdict.PASS));
    }
    GaugeReport report = report(study, runs, Quantity.of(20_000, Unit.HERTZ));
    GaugeResult gain = gain(report);
    assertThat(gain.anova()).isNotNull();
    assertThat(gain.anova().repeatabilityBounds().contains(0.1)).isTrue();
    assertThat(gain.bounds()).isNotNull();
    assertThat(gain.bounds().reproducibility().contains(0.2)).isTrue();
    assertThat(gain.ability()).isNotNull();
    assertThat(gain.ability().grade()).isEqualTo(Grade.UNABLE);
    assertThat(gain.sentence()).startsWith("The station cannot judge this limit: ");
    assertThat(gain.mostly()).isEqualTo("reproducibility");

    // Of the response, 10 dB at 40 kHz for each dB of gain: half of that at 20 kHz, an octave of
    // the two from 10 kHz, so that all is five times as wide.
    GaugeResult response =
        report.results().stream()
            .filter(r -> r.series().name().equals("response"))
            .findFirst()
            .orElseThrow();
    assertThat(response.series().title()).isEqualTo("response at 20 kHz (channel left)");
    assertThat(response.anova()).isNotNull();
    assertThat(response.anova().spread().gauge())
        .isCloseTo(5 * gain.anova().spread().gauge(), within(1e-9));
    assertThat(response.series().low()).isEqualTo(-60);
    assertThat(report.results().get(0)).as("what is hardest to judge comes first").isEqualTo(gain);
  }

  @Test
  void otherLimitsMayBeAskedAbout() {
    Study study = study(List.of("1", "2"), List.of("A", "B"), 2);
    StudyRecords records = new StudyRecords(study);
    List<RunRecord> runs = new ArrayList<>();
    for (Study.Trial trial : study.order()) {
      double value = trial.number() % 3 * 0.1 + (trial.unit().equals("1") ? 1 : 0);
      runs.add(records.trial(trial, value, WIDE, Verdict.PASS));
    }
    LimitFile other =
        LimitFile.read(
                "other.yaml",
                "{limits: other, product: Linnet 12, revision: B, rule: simple acceptance,"
                    + " judge: [{result: gain, low: -3 dB}]}")
            .value();
    GaugeReport report =
        GaugeReport.of(
            "spring",
            study.by(),
            study,
            Trialled.of(study, runs),
            new GaugeSeries.Question(other, List.of(), m -> true),
            List.of());
    GaugeResult gain = gain(report);
    assertThat(gain.series().low()).isEqualTo(-3);
    assertThat(gain.series().high()).isNull();
  }

  /** Broken-off trials are done again and do not count; holes are told, not filled. */
  @Test
  void whatIsNotDoneDoesNotCount() {
    Study study = study(List.of("1", "2", "3"), List.of("A", "B"), 3);
    StudyRecords records = new StudyRecords(study);
    List<RunRecord> runs = new ArrayList<>();
    for (Study.Trial trial : study.order().subList(0, 13)) {
      if (trial.number() == 4) {
        runs.add(records.trial(trial, 99, WIDE, Verdict.ERROR));
        runs.add(records.trial(trial, 99, WIDE, Verdict.ABORTED));
      }
      runs.add(records.trial(trial, 0.01 * trial.number(), WIDE, Verdict.FAIL));
    }
    GaugeReport report = report(study, runs);
    assertThat(report.trials()).hasSize(13);
    assertThat(report.left()).isEqualTo(5);
    GaugeResult gain = gain(report);
    assertThat(gain.data()).isNotNull();
    assertThat(gain.data().repeats()).isEqualTo(2);
    assertThat(gain.series().readings()).noneMatch(r -> r.value() == 99);
    assertThat(gain.remarks()).contains("1 readings beyond 2 repeats left out");
    assertThat(GaugeText.lines(report)).anyMatch(l -> l.startsWith("  5 trials are still to do"));

    GaugeReport early = report(study, runs.subList(0, 3));
    assertThat(gain(early).sentence()).isEqualTo("Not enough was measured to say anything.");
    assertThat(gain(early).remarks().get(0)).startsWith("too little: ");
  }

  @Test
  void repeatsThatAgreeExactlyTellNothing() {
    Study study = study(List.of("1", "2"), List.of("A", "B"), 2);
    StudyRecords records = new StudyRecords(study);
    List<RunRecord> runs = new ArrayList<>();
    study.order().forEach(t -> runs.add(records.trial(t, 1, WIDE, Verdict.PASS)));
    GaugeResult gain = gain(report(study, runs));
    assertThat(gain.anova()).isNull();
    assertThat(gain.sentence()).startsWith("Repeats do not differ at all");
  }

  @Test
  void ordinaryRunsOfSeveralDaysAreAStudyToo() {
    Study study = study(List.of("1", "2"), List.of("A", "B"), 2);
    StudyRecords records = new StudyRecords(study);
    List<RunRecord> runs = new ArrayList<>();
    for (int i = 0; i < 4 * 24 * 12; i += 12 * 6) { // every six hours
      for (int j = 0; j < 12 * 6; j++) {
        Study.Trial trial = new Study.Trial(1, j % 2 == 0 ? "1" : "2", "nobody", 1);
        RunRecord run = records.trial(trial, 0.1 * (j % 5), WIDE, Verdict.PASS);
        if (j < 2) {
          runs.add(run);
        }
      }
    }
    List<Trialled> trials = Trialled.of(runs, Study.By.DAY, ZoneOffset.UTC);
    GaugeReport report = GaugeReport.of("pilot", Study.By.DAY, null, trials, all(), List.of());
    assertThat(report.appraisers().get(0)).isEqualTo("2026-11-26");
    assertThat(report.appraisers()).hasSizeGreaterThan(3);
    assertThat(report.units()).containsExactly("1", "2");
    assertThat(GaugeText.lines(report).get(0))
        .startsWith("runs of batch pilot as a gauge study by day: ");
  }

  @Test
  void aStudyIsKeptAsItWasDrawn() throws IOException {
    Study blind =
        Study.drawn(
            "a/b study",
            Study.By.RELOAD,
            true,
            77,
            2,
            List.of("LN12-001", "LN12-002", "LN12-003"),
            List.of("reload 1", "reload 2"),
            "Linnet 12",
            "B",
            Map.of("plan", "sha256:01"));
    StudyFolder kept = new StudyFolder(folder, "a/b study");
    assertThat(kept.study()).isEmpty();
    kept.keep(blind);
    assertThat(kept.study()).contains(blind);
    assertThat(Files.readAllLines(kept.key()))
        .hasSize(4)
        .startsWith("label,unit")
        .anyMatch(l -> l.equals("A,\"" + unitOf(blind, "A") + "\""));
    assertThat(StudyFolder.names(folder)).hasSize(1);
    assertThat(blind.order()).extracting(Study.Trial::number).startsWith(1, 2, 3).endsWith(12);
    assertThat(blind.connectsAnew(blind.order().get(0))).isTrue();
    assertThat(blind.connectsAnew(blind.order().get(1))).as("untouched").isFalse();
  }

  private static String unitOf(Study study, String label) {
    return study.units().stream()
        .filter(unit -> study.called(unit).equals(label))
        .findFirst()
        .orElseThrow();
  }
}
