package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.stream.Stream;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.value.Contribution;
import kitproof.value.Uncertainty;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A Linnet 12 on the shipped bench with errors, as calibrated: checked in the morning, tested
 * against guarded limits, certified. That the calibration is what {@code kitproof calibrate} finds
 * is {@link CalibrateIT}'s.
 */
class CalibratedLinnetIT {
  private static final LocalDate DUE = LocalDate.now(ZoneOffset.UTC).plusDays(200);

  @TempDir private Path folder;

  /**
   * The shipped files; the calibration with the certificate of a meter, whose day must lie ahead.
   */
  @BeforeEach
  void prepare() throws IOException {
    for (String name :
        List.of(
            "bench-uneven.yaml",
            "selfcheck.yaml",
            "selfcheck-limits.yaml",
            "guarded-plan.yaml",
            "guarded-limits.yaml")) {
      Files.copy(Cli.example(name), folder.resolve(name));
    }
    String calibration = Files.readString(Cli.example("bench-uneven.calibration.yaml"));
    String meter = "  \"hv-meter\":\n    identity: \"Kitproof simulated meter uneven\"\n";
    assertThat(calibration)
        .contains(meter, "room-temperature: 23 °C", "room-humidity: 45 %", "limits: \"±(0.5 % + 3");
    Files.writeString(
        folder.resolve("bench-uneven.calibration.yaml"),
        calibration.replace(
            meter,
            meter
                + "    certificate: {number: C-17, date: 2026-03-01, due: "
                + DUE
                + ", by: A Laboratory}\n"));
  }

  private Cli call(String command, String plan, Object... more) {
    return Cli.run(
        Stream.concat(
                Stream.of(
                    command,
                    folder.resolve(plan),
                    "--bench",
                    folder.resolve("bench-uneven.yaml"),
                    "--records",
                    folder.resolve("records")),
                Stream.of(more))
            .toArray());
  }

  @Test
  void aUnitPassesGuardedLimitsAndItsCertificateSaysByWhatItIsKnown() throws IOException {
    Cli early = call("run", "guarded-plan.yaml", "--unit", "LN12-001");
    assertThat(early.code()).as("before the check of the morning").isEqualTo(2);
    assertThat(early.err()).contains("station \"bench-3\" locked");
    Cli morning = call("selfcheck", "selfcheck.yaml");
    assertThat(morning.code()).as(morning.out() + morning.err()).isZero();

    Cli run = call("run", "guarded-plan.yaml", "--unit", "LN12-001", "--json");
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    RunRecord record = RecordDocument.read(Path.of(run.json().get("record").asText()));
    assertThat(record.calibration())
        .hasValueSatisfying(
            told -> {
              assertThat(told.calibrated()).isTrue();
              assertThat(told.told()).startsWith("calibrated on ").contains("until " + DUE);
              assertThat(told.certificates())
                  .containsExactly("hv-meter: C-17 of A Laboratory, until " + DUE);
            });
    List<RunRecord.Result> judged =
        record.steps().stream()
            .flatMap(step -> step.results().stream())
            .filter(result -> result.judgement().limit() != null)
            .toList();
    assertThat(judged).hasSizeGreaterThan(25);
    for (RunRecord.Result each : judged) {
      assertThat(each.judgement().outcome())
          .as(each.measurement().title())
          .isEqualTo(Judgement.Outcome.PASS);
      assertThat(each.judgement().guard()).as(each.measurement().title()).isNotNull();
    }
    // The room is as warm as it was: the line stands in the budget and weighs nothing.
    assertThat(budget(record, "damping factor at 1 kHz"))
        .extracting(Contribution::name)
        .anyMatch(name -> name.contains("and its temperature"));

    Path out = folder.resolve("out");
    Cli report =
        Cli.run(
            "report", "--unit", "LN12-001", "--records", folder.resolve("records"), "--out", out);
    assertThat(report.code()).as(report.err()).isZero();
    assertThat(out.resolve("LN12-001.html"))
        .content(StandardCharsets.UTF_8)
        .contains("Calibrated on ", "hv-meter: C-17 of A Laboratory, until " + DUE)
        .contains("Certificates of the instruments:")
        .containsPattern("guard band 0\\.0\\d+.dB")
        .containsPattern("±.0\\.011.dB")
        .doesNotContain("UNCALIBRATED", "uncalibrated", "taken as exact");
  }

  private static List<Contribution> budget(RunRecord record, String result) {
    return record.steps().stream()
        .flatMap(step -> step.results().stream())
        .map(RunRecord.Result::measurement)
        .filter(measurement -> measurement.name().equals(result))
        .findFirst()
        .map(
            measurement -> {
              Uncertainty known = measurement.uncertainty();
              return known == null ? List.<Contribution>of() : known.budget();
            })
        .orElseThrow();
  }
}
