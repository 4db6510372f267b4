package kitproof.selfcheck;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.Journal;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.uncertainty.Budget;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class SelfcheckTest {
  private static final Instant START = Instant.parse("2026-11-26T06:00:00Z");
  private static final Conditions LEFT = Conditions.of("channel", "left");

  @TempDir private Path folder;

  private static RunRecord run(int day, double level, double error, Verdict verdict) {
    Measurement found =
        Measurement.of("loop level", LEFT, Quantity.of(level, Unit.DECIBEL))
            .with(Budget.of(Contribution.observed("repeats", 1e-4, 4, Unit.DECIBEL)).uncertainty());
    Measurement normalised =
        Measurement.of("loop level normalised error", LEFT, Quantity.of(error, Unit.ONE));
    List<RunRecord.Result> results =
        List.of(found, normalised).stream()
            .map(
                m -> new RunRecord.Result(m, new Judgement(Judgement.Outcome.NOT_JUDGED, null, "")))
            .toList();
    return new RunRecord(
        "run-" + day,
        "shop",
        "bench-3",
        "CS-01",
        "",
        "check standard",
        "A",
        "selfcheck",
        day,
        verdict,
        verdict == Verdict.ERROR ? "the meter is gone" : "",
        List.of(),
        START.plus(Duration.ofDays(day)),
        START.plus(Duration.ofDays(day)),
        Map.of("calibration", "sha256:1"),
        Map.of(),
        List.of(
            new RunRecord.Step(
                0,
                "loop",
                "check-loop",
                Conditions.NONE,
                StepOutcome.PASSED,
                "",
                Duration.ZERO,
                results)),
        List.of(),
        List.of(),
        List.of(),
        SafeToOpen.NO,
        List.of());
  }

  private static List<RunRecord> days(double... levels) {
    List<RunRecord> all = new ArrayList<>();
    for (double level : levels) {
      all.add(run(all.size(), level, 0.1, Verdict.PASS));
    }
    return all;
  }

  // Ten days whose neighbours differ by 0.006 dB in the mean: sigma is that over 1.128, the d2 of
  // two (NIST/SEMATECH e-Handbook 6.3.2.2).
  private static final double[] LEVELS = {
    0.000, 0.006, 0.000, 0.006, 0.000, 0.006, 0.000, 0.006, 0.000, 0.006
  };
  private static final double REACH = 3 * 0.006 / 1.1284;

  @Test
  void aFigureInsideItsChartIsGoodAndOneOutsideLocksThoughTheCalibrationExplainsIt() {
    Selfcheck good = Selfcheck.of(run(10, 0.003 + REACH - 1e-4, 0.2, Verdict.PASS), days(LEVELS));
    assertThat(good.good()).as("%s", good.reasons()).isTrue();
    assertThat(good.figures())
        .singleElement()
        .satisfies(
            line -> {
              assertThat(line.high()).isCloseTo(0.003 + REACH, within(1e-5));
              assertThat(line.low()).isCloseTo(0.003 - REACH, within(1e-5));
              assertThat(line.earlier()).isEqualTo(10);
              assertThat(line.error()).hasValue(0.2);
            });
    Selfcheck out = Selfcheck.of(run(10, 0.003 + REACH + 1e-4, 0.2, Verdict.PASS), days(LEVELS));
    assertThat(out.reasons())
        .singleElement()
        .asString()
        .contains("loop level (channel left) is", "outside its control chart of 10 checks");
  }

  @Test
  void theChartCountsFromEightChecksOnAndIsNeverNarrowerThanOneCheckScatters() {
    double[] seven = new double[Selfcheck.CHART_FROM - 1];
    assertThat(Selfcheck.of(run(9, 0.01, 0.3, Verdict.PASS), days(seven)).good()).isTrue();
    double[] eight = new double[Selfcheck.CHART_FROM];
    assertThat(Selfcheck.of(run(9, 0.01, 0.3, Verdict.PASS), days(eight)).good()).isFalse();
    // No spread at all from day to day; 1e-4/√4 dB within a check.
    assertThat(Selfcheck.of(run(9, 1.4e-4, 0, Verdict.PASS), days(eight)).good()).isTrue();
    assertThat(Selfcheck.of(run(9, 1.6e-4, 0, Verdict.PASS), days(eight)).good()).isFalse();
  }

  /** Writes the record of a day's check into the folder, and reads it back. */
  private RunRecord kept(RecordStore store, int day, double level) throws IOException {
    RunRecord of = run(day, level, 0.1, Verdict.PASS);
    String name = "202611%02dT060000.000Z-CS-01".formatted(day + 1);
    RunRecord.Step step = of.steps().get(0);
    try (Journal journal = store.begin(name, () -> START.plus(Duration.ofDays(day)))) {
      journal.append(
          new Event.RunStarted(
              name,
              of.shop(),
              of.station(),
              of.unit(),
              "",
              of.product(),
              of.revision(),
              of.plan(),
              of.digests(),
              List.of(new Event.PlannedStep("loop", Conditions.NONE, Duration.ZERO))));
      journal.append(new Event.StepStarted(0, "loop", "check-loop", Conditions.NONE));
      for (RunRecord.Result result : step.results()) {
        journal.append(new Event.ResultJudged(0, result.measurement(), result.judgement()));
      }
      journal.append(
          new Event.StepFinished(
              0, "loop", Conditions.NONE, StepOutcome.PASSED, "", Duration.ZERO));
      journal.append(new Event.RunEnded(of.verdict(), "", List.of()));
      return RecordDocument.read(RecordDocument.write(store, journal.file()));
    }
  }

  @Test
  void whatTheChartHasLockedStaysLockedHoweverOftenTheCheckIsRepeated() throws IOException {
    RecordStore store = new RecordStore(folder);
    for (int day = 0; day < Selfcheck.CHART_FROM; day++) {
      assertThat(Selfcheck.of(kept(store, day, LEVELS[day]), folder).good()).isTrue();
    }
    // 3 mdB beyond the chart; taken into it, the first of these would make it wide enough.
    double shifted = 0.003 + REACH + 3e-3;
    for (int day = 8; day < 14; day++) {
      Selfcheck again = Selfcheck.of(kept(store, day, shifted), folder);
      assertThat(again.reasons())
          .singleElement()
          .asString()
          .contains("outside its control chart of 8 checks");
    }
    assertThat(Selfcheck.of(kept(store, 14, LEVELS[8]), folder).good()).isTrue();
    Selfcheck next = Selfcheck.of(kept(store, 15, LEVELS[9]), folder);
    assertThat(next.figures()).singleElement().matches(line -> line.earlier() == 9);
  }

  @Test
  void aSlowDriftIsToldBeforeItLocks() {
    double[] rising = {0.000, 0.006, 0.000, 0.006, 0.000, 0.001, 0.002, 0.003, 0.004};
    Selfcheck drifting = Selfcheck.of(run(9, 0.005, 0.1, Verdict.PASS), days(rising));
    assertThat(drifting.good()).isTrue();
    assertThat(drifting.warnings()).singleElement().asString().contains("rising or falling");
  }

  @Test
  void aNormalisedErrorBeyondOneAndARunThatDidNotPassLock() {
    Selfcheck beyond = Selfcheck.of(run(1, 0.3, 4.56, Verdict.FAIL), List.of());
    assertThat(beyond.reasons())
        .containsExactly(
            "loop level (channel left) is 0.3 dB: its normalised error against the calibration is"
                + " 4.56, the limit -1 to 1");
    Selfcheck error = Selfcheck.of(run(1, 0, 0, Verdict.ERROR), List.of());
    assertThat(error.reasons())
        .containsExactly("the check did not come to its end: the meter is gone");
  }

  @Test
  void theLockIsWhatWasWrittenAndOpensForNothingElse() throws IOException {
    Duration day = Duration.ofHours(24);
    assertThat(StationLock.read(folder, "bench/3")).isEmpty();
    StationLock good = new StationLock("bench/3", "run-1", START, "sha256:1", List.of());
    good.write(folder);
    Optional<StationLock> read = StationLock.read(folder, "bench/3");
    assertThat(read).hasValue(good);
    assertThat(StationLock.reasons(read, day, "sha256:1", START.plus(day))).isEmpty();
    assertThat(StationLock.reasons(read, day, "sha256:1", START.plus(day).plusSeconds(60)))
        .singleElement()
        .asString()
        .contains("run-1, is 24 h old");
    assertThat(StationLock.reasons(read, day, "sha256:2", START)).hasSize(1);
    assertThat(StationLock.reasons(read, day, "", START))
        .containsExactly("runs are uncalibrated, its last check, run run-1, was not");
    new StationLock("bench/3", "run-2", START, "sha256:1", List.of("a", "b")).write(folder);
    assertThat(StationLock.reasons(StationLock.read(folder, "bench/3"), day, "sha256:1", START))
        .containsExactly("a", "b");
    Files.writeString(StationLock.file(folder, "bench/3"), "not JSON");
    assertThatThrownBy(() -> StationLock.read(folder, "bench/3"))
        .isInstanceOf(IOException.class)
        .hasMessageContaining("is damaged");
  }
}
