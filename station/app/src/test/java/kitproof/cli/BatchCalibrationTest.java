package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.batch.Batch;
import kitproof.batch.Linnets;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.Fixture;
import kitproof.journal.RunRecord;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class BatchCalibrationTest {
  private static RunRecord run(Event.@Nullable CalibrationTold told) {
    List<Entry> entries = new ArrayList<>();
    for (Entry entry : Fixture.entries()) {
      entries.add(new Entry(entry.run(), entries.size(), entry.time(), entry.event()));
      if (told != null && entries.size() == 1) {
        entries.add(new Entry(entry.run(), 1, Instant.EPOCH, told));
      }
    }
    return RunRecord.of(entries);
  }

  private static final Event.CalibrationTold GOOD =
      new Event.CalibrationTold(true, "calibrated on 2026-11-26, run R-7", List.of());
  private static final Event.CalibrationTold BAD =
      new Event.CalibrationTold(false, "UNCALIBRATED: as was asked for", List.of());

  private static final RunRecord CALIBRATED = run(GOOD);
  private static final RunRecord NOT = run(BAD);
  private static final RunRecord UNTOLD = run(null);

  @Test
  void aBatchSaysWhatItsRunsSay() {
    assertThat(BatchPages.calibration(List.of(CALIBRATED, CALIBRATED)))
        .isEqualTo("calibrated on 2026-11-26");
    assertThat(BatchPages.calibration(List.of(CALIBRATED, UNTOLD)))
        .isEqualTo("calibrated on 2026-11-26; none told in 1 of 2 runs");
    assertThat(BatchPages.calibration(List.of(NOT, CALIBRATED)))
        .isEqualTo("1 of 2 runs UNCALIBRATED");
    assertThat(BatchPages.calibration(List.of(NOT))).isEqualTo("UNCALIBRATED");
    assertThat(BatchPages.calibration(List.of(UNTOLD))).isEqualTo("none told");
  }

  @Test
  void theLineOfUncalibratedRunsIsThereOnlyWhereThereAreSome() {
    assertThat(BatchPages.uncalibrated(Batch.of("pilot", List.of(NOT))))
        .hasValue("calibration: UNCALIBRATED");
    assertThat(BatchPages.uncalibrated(Batch.of("pilot", List.of(CALIBRATED)))).isEmpty();
  }

  @TempDir Path folder;

  /** What a command says of the pilot batch, whose every run says this of its bench. */
  private String out(Event.CalibrationTold told, Object... command) throws IOException {
    Path records = folder.resolve("records-" + told.calibrated());
    if (!Files.exists(records)) {
      new Linnets(records).told(told).pilot();
    }
    List<Object> all = new ArrayList<>(List.of(command));
    all.addAll(List.of("--records", records));
    Cli cli = Cli.run(all.toArray());
    assertThat(cli.code()).as(cli.err()).isZero();
    return cli.out();
  }

  @Test
  void whatIsMadeOfABatchSaysOnPaperAndScreenThatItsRunsWereUncalibrated() throws IOException {
    Path pairs =
        Files.writeString(
            folder.resolve("pairs.yaml"),
            "pairs: stereo\ncompare:\n  - {result: gain, difference: 0.1 dB}\n");
    String line = "\ncalibration: UNCALIBRATED\n";
    assertThat(out(BAD, "batch", "pilot", "--pairs", pairs)).contains(line);
    assertThat(out(GOOD, "batch", "pilot", "--pairs", pairs)).doesNotContain("UNCALIBRATED");

    for (Event.CalibrationTold told : List.of(BAD, GOOD)) {
      Path proposed = folder.resolve(told.calibrated() + ".yaml");
      out(told, "batch", "pilot", "--propose-limits", proposed, "--coverage", "0.7");
      assertThat(Files.readString(proposed).startsWith("# calibration: UNCALIBRATED\n"))
          .isEqualTo(!told.calibrated());
    }

    Object[] chart = {"batch", "pilot", "--chart", "gain", "--out", folder.resolve("c.svg")};
    assertThat(out(BAD, chart)).contains(line);
    assertThat(out(GOOD, chart)).doesNotContain("calibration");
  }

  @Test
  void judgedAgainTheRunsSayWhatTheyRestOn() throws IOException {
    Path limits =
        Files.writeString(
            folder.resolve("l.yaml"),
            "limits: l\nproduct: Linnet 12\nrevision: B\nrule: simple acceptance\n"
                + "judge: [{result: gain, low: 25.5 dB}]\n");
    assertThat(out(BAD, "rejudge", "--limits", limits)).contains("\ncalibration: UNCALIBRATED\n");
    assertThat(out(GOOD, "rejudge", "--limits", limits))
        .contains("\ncalibration: calibrated on 2026-11-26\n");
    assertThat(out(BAD, "rejudge", "--limits", limits, "--json"))
        .contains("\"calibration\"", "UNCALIBRATED");
  }

  @Test
  void aGaugeStudyOfUncalibratedRunsSaysSoInWordsAndInTheFootOfEverySheet() throws IOException {
    Object[] study = {"gauge-study", "pilot", "--of-batch", "--by", "day"};
    assertThat(out(BAD, study)).contains("\ncalibration: UNCALIBRATED\n");
    assertThat(out(GOOD, study)).contains("\ncalibration: calibrated on 2026-11-26\n");
    for (Event.CalibrationTold told : List.of(BAD, GOOD)) {
      Path pages = folder.resolve("pages-" + told.calibrated());
      out(told, "gauge-study", "pilot", "--of-batch", "--by", "day", "--report", pages);
      String html = Files.readString(pages.resolve("gauge-pilot.html"));
      assertThat(html.contains("Gauge study \u00b7 UNCALIBRATED")).isEqualTo(!told.calibrated());
      assertThat(html.contains("calibrated on 2026-11-26")).isEqualTo(told.calibrated());
    }
  }

  private static final Event.CalibrationTold EXACT =
      new Event.CalibrationTold(true, "simulated bench, taken as exact", List.of());
  private static final Event.CalibrationTold UNKNOWN =
      new Event.CalibrationTold(false, "UNCALIBRATED: as was asked for", List.of());

  /** Four good units, and one too low. */
  private Path batch(Event.CalibrationTold ofGood, Event.CalibrationTold ofBad) throws IOException {
    Path records = folder.resolve("records");
    Linnets linnets = new Linnets(records).told(ofGood);
    for (int i = 1; i <= 4; i++) {
      linnets.run("pilot", i, 26 + 0.01 * i, -0.5);
    }
    linnets.told(ofBad).run("pilot", 5, 24, -0.5);
    return records;
  }

  private Cli pairs(Path records, Object... more) throws IOException {
    Path rules =
        Files.writeString(
            folder.resolve("pairs.yaml"),
            "pairs: pilot\ncompare:\n  - {result: gain, difference: 0.1 dB}\n");
    List<Object> all = new ArrayList<>(List.of("batch", "pilot", "--records", records));
    all.addAll(List.of("--pairs", rules));
    all.addAll(List.of(more));
    return Cli.run(all.toArray());
  }

  private Path proposal(Path records) {
    Path file = folder.resolve("proposal.yaml");
    Cli cli = Cli.run("batch", "pilot", "--records", records, "--propose-limits", file);
    assertThat(cli.code()).as(cli.err()).isZero();
    return file;
  }

  @Test
  void pairsAndProposedLimitsOfUncalibratedRunsSaySo() throws IOException {
    Path records = batch(UNKNOWN, EXACT);
    Cli text = pairs(records);
    assertThat(text.code()).as(text.err()).isZero();
    assertThat(text.out()).contains("calibration: UNCALIBRATED");
    assertThat(pairs(records, "--json").json().get("calibration").asText())
        .isEqualTo("UNCALIBRATED");
    assertThat(Files.readString(proposal(records))).startsWith("# calibration: UNCALIBRATED\n");
  }

  @Test
  void aUnitThatIsLeftOutOfThemSaysNothingThere() throws IOException {
    Path records = batch(EXACT, UNKNOWN);
    Cli text = pairs(records);
    assertThat(text.code()).as(text.err()).isZero();
    assertThat(text.out()).doesNotContain("UNCALIBRATED");
    assertThat(pairs(records, "--json").json().get("calibration").asText())
        .isEqualTo("simulated bench, taken as exact");
    assertThat(Files.readString(proposal(records))).doesNotContain("UNCALIBRATED");
  }
}
