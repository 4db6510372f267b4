package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.gauge.Study;
import kitproof.gauge.StudyFolder;
import kitproof.journal.History;
import kitproof.journal.Journal;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import kitproof.plan.BenchReader;
import kitproof.selfcheck.StationLock;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The command that leads through a gauge study, on a cold simulated unit. */
class GaugeStudyTest {
  private static final Path BENCH = Cli.example("bench-simulated.yaml");
  @TempDir Path folder;
  private Path plan;
  private Path records;

  @BeforeEach
  void write() throws IOException {
    records = folder.resolve("records");
    plan = SmallPlans.cold(folder);
  }

  private Cli study(String name, Object... more) {
    List<Object> all = new ArrayList<>(List.of("gauge-study", name, "--records", records));
    all.addAll(List.of(more));
    return Cli.run(all.toArray());
  }

  private Cli go(String name, Object... more) {
    List<Object> all = new ArrayList<>(List.of("--plan", plan, "--bench", BENCH));
    all.addAll(List.of(more));
    return study(name, all.toArray());
  }

  private List<RunRecord> kept(String name) throws IOException {
    List<RunRecord> runs = new ArrayList<>();
    try (Stream<Path> files = Files.list(new StudyFolder(records, name).folder())) {
      for (Path file : files.filter(f -> f.toString().endsWith(".json")).sorted().toList()) {
        runs.add(RecordDocument.read(file));
      }
    }
    return runs;
  }

  @Test
  void anInterruptedStudyGoesOnInItsOrderAndCountsNowhereElse() throws IOException {
    Cli begun =
        go(
            "spring",
            "--units",
            "LN12-001,LN12-002",
            "--appraisers",
            "Ann,Ben",
            "--repeats",
            "2",
            "--seed",
            "3",
            "--trials",
            "3");
    assertThat(begun.code()).as(begun.err()).isZero();
    assertThat(begun.out())
        .contains("gauge study spring: trial 1 of 8, ", "trial 3 of 8, ")
        .contains("5 trials are still to do");
    assertThat(begun.out()).contains("operator: done").contains(": connect unit LN12-00");
    assertThat(kept("spring")).hasSize(3);

    killedInTheMiddleOfTrial(4);
    Cli ended = go("spring");
    assertThat(ended.err()).contains("-killed: ended as aborted");
    assertThat(ended.code()).as(ended.err()).isZero();
    assertThat(ended.out()).contains("trial 4 of 8, ").doesNotContain("trial 3 of 8, ");
    assertThat(ended.out())
        .contains("8 of 8 trials done")
        .contains("The station can judge this limit: its own spread takes");
    List<RunRecord> runs = new ArrayList<>(kept("spring"));
    assertThat(runs.removeIf(run -> run.run().endsWith("killed"))).isTrue();
    assertThat(runs).hasSize(8).allMatch(run -> run.attempt() == 1 && run.batch().isEmpty());
    assertThat(runs)
        .extracting(run -> run.gaugeTrial().orElseThrow().number())
        .containsExactlyInAnyOrder(1, 2, 3, 4, 5, 6, 7, 8);
    assertThat(go("spring").code()).as("nothing is left to do").isZero();
    assertThat(kept("spring")).as("and the one that was cut short").hasSize(9);

    // An ordinary run of the unit knows nothing of all this.
    assertThat(History.of(records, "Linnet 12", "LN12-001")).isEmpty();
    Cli ordinary =
        Cli.run("run", plan, "--bench", BENCH, "--records", records, "--unit", "LN12-001");
    assertThat(ordinary.code()).as(ordinary.err()).isZero();
    assertThat(ordinary.out()).doesNotContain("attempt 2");
  }

  /** What a program leaves that is ended without warning while a trial goes on. */
  private void killedInTheMiddleOfTrial(int number) throws IOException {
    StudyFolder kept = new StudyFolder(records, "spring");
    Study study = kept.study().orElseThrow();
    Study.Trial trial = study.order().get(number - 1);
    RecordStore store = new RecordStore(kept.folder());
    String run = "20261101T000000.000Z-killed";
    Instant then = Instant.parse("2026-11-01T00:00:00Z");
    try (Journal journal = store.begin(run, () -> then)) {
      journal.append(
          new Event.RunStarted(
              run,
              "demo-shop",
              "bench-1",
              trial.unit(),
              "",
              "Linnet 12",
              "B",
              "cold",
              Map.of(),
              List.of()));
      journal.append(study.mark(trial));
    }
  }

  private static boolean dischargedAfter(Event... told) {
    List<Entry> entries = new ArrayList<>();
    entries.add(
        new Entry(
            "run",
            0,
            Instant.EPOCH,
            new Event.RunStarted(
                "run", "s", "b", "LN12-001", "", "Linnet 12", "B", "cold", Map.of(), List.of())));
    for (Event event : told) {
      entries.add(new Entry("run", entries.size(), Instant.EPOCH, event));
    }
    return GaugeTrials.isDischarged(RunRecord.of(entries));
  }

  @Test
  void onlyAUnitThatIsShownToBeDischargedIsTakenOff() {
    Event.OpeningTold no = new Event.OpeningTold(SafeToOpen.NO, "mains");
    assertThat(dischargedAfter()).as("mains never on").isTrue();
    assertThat(dischargedAfter(no)).isFalse();
    assertThat(dischargedAfter(no, new Event.OpeningTold(SafeToOpen.UNKNOWN, "dead"))).isFalse();
    assertThat(dischargedAfter(no, new Event.OpeningTold(SafeToOpen.YES, "0 V"))).isTrue();
  }

  /** The rail that the discharge reads is dead from the first reading on. */
  @Test
  void aStudyStopsWhereTheRailIsUnknown() throws IOException {
    Files.writeString(
        plan,
        Files.readString(plan)
            + """
              - {step: on, procedure: supply-rise, meter: hv-meter, function: hv, watch: 4 s, on-fail: stop, conditions: {lamps: "1"}}
            shut-down:
              - {step: discharge, procedure: discharge, meter: hv-meter, function: ripple, safe: 30 V}
            """);
    Files.writeString(
        folder.resolve("limits.yaml"),
        "{limits: cold, product: Linnet 12, revision: B, rule: simple acceptance,"
            + " judge: [{result: hv, low: -1 V, high: 1 V},"
            + " {result: supply rise, mask: [{at: 1500 ms, low: 20 V}, {at: 4 s, low: 50 V}]},"
            + " {result: supply rise settled, low: 900 V}]}");
    Cli cli =
        go(
            "live",
            "--units",
            "LN12-001,LN12-002",
            "--reloads",
            "2",
            "--repeats",
            "2",
            "--seed",
            "1");
    assertThat(cli.out() + cli.err())
        .contains(
            "the study stops: unit LN12-00", "is not shown to be discharged. Treat it as live");
    assertThat(cli.code()).as(cli.out() + cli.err()).isEqualTo(3);
    assertThat(kept("live")).hasSize(1);
    assertThat(kept("live").get(0).verdict()).isEqualTo(Verdict.FAIL);
  }

  @Test
  void aLockedStationDoesNoTrials() throws IOException {
    String text = Files.readString(BENCH);
    Path bench =
        Files.writeString(
            folder.resolve("bench.yaml"),
            text.replace("\nroles:", "\nselfcheck: {check-standard: CS-01, hours: 24}\nroles:"));
    assertThat(bench).content().contains("CS-01");
    List<Object> all =
        List.of(
            "gauge-study",
            "spring",
            "--records",
            records,
            "--plan",
            plan,
            "--bench",
            bench,
            "--units",
            "LN12-001,LN12-002",
            "--reloads",
            "2",
            "--repeats",
            "2");
    Cli unchecked = Cli.run(all.toArray());
    assertThat(unchecked.code()).as(unchecked.out()).isEqualTo(2);
    assertThat(unchecked.err()).contains("locked: it has not been checked yet");
    assertThat(new StudyFolder(records, "spring").study()).isEmpty();
    Files.createDirectories(records);
    String station = BenchReader.read(bench).value().station();
    new StationLock(station, "run-1", Instant.now(), "", List.of("the meter is gone"))
        .write(records);
    Cli locked = Cli.run(all.toArray());
    assertThat(locked.code()).isEqualTo(2);
    assertThat(locked.err()).contains("locked: the meter is gone");
    new StationLock(station, "run-2", Instant.now(), "", List.of()).write(records);
    assertThat(Cli.run(all.toArray()).code()).isZero();
  }

  @Test
  void aBlindStudyShowsLabelsAndNoFigures() throws IOException {
    Cli cli =
        go(
            "hidden",
            "--units",
            "LN12-001,LN12-002",
            "--reloads",
            "2",
            "--repeats",
            "2",
            "--blind",
            "--seed",
            "8",
            "--trials",
            "1");
    assertThat(cli.code()).as(cli.err()).isZero();
    String trial = cli.out().substring(0, cli.out().indexOf("trial 1 of 8, reload 1, unit "));
    assertThat(trial).doesNotContain("LN12-0", "pass  hv", " mV");
    assertThat(cli.err()).contains("labels for the units: ").contains("key.csv");
    RunRecord run = kept("hidden").get(0);
    assertThat(trial).contains("unit " + run.gaugeTrial().orElseThrow().label());
    assertThat(Files.readAllLines(new StudyFolder(records, "hidden").key()))
        .contains(run.gaugeTrial().orElseThrow().label() + ",\"" + run.unit() + "\"");
  }

  @Test
  void forAProgramAndOnPaper() throws IOException {
    Cli cli =
        go(
            "a b",
            "--units",
            "LN12-001,LN12-002",
            "--reloads",
            "2",
            "--repeats",
            "2",
            "--seed",
            "1",
            "--json");
    assertThat(cli.code()).as(cli.err()).isZero();
    JsonNode json = cli.json();
    assertThat(json.get("done").asInt()).isEqualTo(8);
    assertThat(json.get("runs")).hasSize(8);
    assertThat(json.get("calibration").asText()).isEqualTo("simulated bench, taken as exact");
    JsonNode hv = json.get("results").get(0);
    assertThat(hv.get("result").asText()).isEqualTo("hv");
    assertThat(hv.get("readings")).hasSize(8);
    double share = hv.get("ability").get("shareOfTolerance").asDouble();
    // A cold meter reads noise of 0.2 mV: six of it in a tolerance of 2 V.
    assertThat(share).isBetween(6 * 0.1e-3 / 2, 6 * 0.4e-3 / 2);
    assertThat(hv.get("ability").get("canJudge").asText()).isEqualTo("yes");
    assertThat(hv.get("anova").get("gaugeBounds")).hasSize(2);

    Path reports = folder.resolve("reports");
    Cli report =
        study(
            "a b", "--report", reports, "--maker", Cli.example("maker.yaml"), "--paper", "letter");
    assertThat(report.code()).as(report.err()).isZero();
    assertThat(report.out()).contains("gauge-a%20b.html", "gauge-a%20b.pdf");
    String html = Files.readString(reports.resolve("gauge-a%20b.html"));
    assertThat(html)
        .contains("simulated bench, taken as exact")
        .contains("<h1>Gauge study</h1>", "1 of 1", "The station can judge this limit", "<svg");
    try (PDDocument pdf = Loader.loadPDF(reports.resolve("gauge-a%20b.pdf").toFile())) {
      assertThat(pdf.getNumberOfPages()).isBetween(1, 4);
      assertThat(new PDFTextStripper().getText(pdf))
          .contains("Gauge study", "By unit, by appraiser", "LN12-002", "reload 2");
    }
  }

  @Test
  void whatDoesNotFitIsRefusedBeforeAnythingIsTouched() throws IOException {
    refused(go("s"), "found no study \"s\" yet; expected --units");
    refused(go("s", "--units", "LN12-001,LN12-002"), "neither --appraisers nor --reloads");
    refused(go("s", "--units", "LN12-001", "--reloads", "2"), "--units: found 1; expected 2");
    refused(go("s", "--units", "LN12-001,LN12-001", "--reloads", "2"), "expected each once, none");
    refused(go("s", "--units", "LN12-001,LN12-2", "--reloads", "2"), "a serial number of Linnet");
    refused(
        go("s", "--units", "LN12-001,LN12-002", "--reloads", "2", "--repeats", "1"),
        "--repeats: found 1; expected 2 or more");
    refused(study("s"), "found no study \"s\" in ");
    refused(study("s", "--units", "LN12-001"), "found --units without --plan");
    refused(study("s", "--at", "high"), "--at: found \"high\"; expected a quantity");
    assertThat(records).doesNotExist();

    Object[] two = {"--units", "LN12-001,LN12-002", "--reloads", "2", "--trials", "1"};
    assertThat(go("spring", two).code()).isZero();
    refused(study("sprung"), "did you mean \"spring\"?");
    refused(go("spring", "--reloads", "3"), "begun with units LN12-001,LN12-002, reloads");
    Files.writeString(plan, Files.readString(plan) + "# changed\n");
    refused(go("spring"), "begun with other files");
  }

  private static void refused(Cli cli, String why) {
    assertThat(cli.code()).as(cli.out()).isEqualTo(2);
    assertThat(cli.err()).contains(why);
  }
}
