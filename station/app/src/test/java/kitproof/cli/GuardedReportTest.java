package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** From a calibrated bench and a guarded limit to the budget and the certificate. */
class GuardedReportTest {
  private static final Path BENCH = Cli.example("bench-simulated.yaml");

  @TempDir private Path folder;

  private Path calibratedBench() throws IOException {
    StringBuilder text = new StringBuilder("bench: simulated Linnet 12 bench\ndate: 2026-11-26\n");
    text.append("outputs: [{channel: left, full-scale: 2 V, u: 1 mV}]\ninputs:\n");
    for (String range : List.of("20 V", "5 V")) {
      text.append(
          "  - {channel: left, range: range %1$s, full-scale: %1$s, u: 4 mV}\n".formatted(range));
    }
    text.append("paths:\n");
    for (String range : List.of("20 V", "5 V")) {
      text.append("  - channel: left\n    range: range " + range + "\n    points:\n");
      text.append("      - {at: 10 Hz, level: 0 dB, u: 0.01 dB, phase: 0 deg}\n");
      text.append("      - {at: 20 kHz, level: 0 dB, u: 0.01 dB, phase: 0 deg}\n");
    }
    text.append("instruments:\n  hv-meter:\n    accuracy:\n");
    text.append("      - {function: hv, limits: \"±(0.5 % + 3 digits)\", resolution: 0.1 V}\n");
    text.append("resistors: [{route: left 8 ohm tap, resistance: 8 ohm, u: 4 mohm}]\n");
    Files.writeString(folder.resolve("bench.calibration.yaml"), text);
    return Files.copy(BENCH, folder.resolve("bench.yaml"));
  }

  @Test
  void aGuardedGainIsJudgedExplainedAndCertified() throws IOException {
    Path bench = calibratedBench();
    Path plan =
        Files.writeString(
            folder.resolve("plan.yaml"),
            """
            plan: guarded gain
            product: Linnet 12
            revision: B
            limits: limits.yaml
            steps:
              - {step: first power, procedure: supply-rise, conditions: {lamps: 2}, meter: hv-meter,
                 function: hv, watch: 20 s, on-fail: stop}
              - {step: warm-up, procedure: warm-up, mains: direct, conditions: {point: cathode V3},
                 meter: probe-meter, function: dc-voltage, at-least: 30 s, at-most: 120 s}
              - {step: gain, procedure: gain, power: 1 W,
                 conditions: {mode: ultralinear, tap: 8 ohm, channel: left}}
            shut-down:
              - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V,
                 give-up-after: 150 s}
            """);
    Files.writeString(
        folder.resolve("limits.yaml"),
        "{limits: l, product: Linnet 12, revision: B, rule: guarded acceptance,"
            + " judge: [{result: gain, low: 20 dB, high: 40 dB},"
            + " {result: supply rise settled, low: 250 V, high: 310 V},"
            + " {result: supply rise, mask: [{at: 2 s, low: 30 V}, {at: 10 s, low: 30 V}]}]}");
    Path records = folder.resolve("records");
    Cli run =
        Cli.run(
            "run", plan, "--bench", bench, "--records", records, "--unit", "LN12-001", "--json");
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    RunRecord record = RecordDocument.read(Path.of(run.json().get("record").asText()));
    RunRecord.Result gain =
        record.steps().stream()
            .flatMap(step -> step.results().stream())
            .filter(result -> result.measurement().name().equals("gain"))
            .findFirst()
            .orElseThrow();
    assertThat(gain.judgement().outcome()).isEqualTo(Judgement.Outcome.PASS);
    assertThat(Objects.requireNonNull(gain.judgement().guard())).isNotNull();

    Cli budget =
        Cli.run(
            "report",
            "--unit",
            "LN12-001",
            "--records",
            records,
            "--uncertainty",
            "--result",
            "gain");
    assertThat(budget.code()).as(budget.err()).isZero();
    assertThat(budget.out()).contains("full scale of input left", "path of left", "+/-0.0259 dB");
    Cli wrong =
        Cli.run(
            "report",
            "--unit",
            "LN12-001",
            "--records",
            records,
            "--uncertainty",
            "--result",
            "gian");
    assertThat(wrong.code()).isEqualTo(2);
    assertThat(wrong.err()).contains("found no \"gian\"").contains("gain");

    Path out = folder.resolve("out");
    Cli report = Cli.run("report", "--unit", "LN12-001", "--records", records, "--out", out);
    assertThat(report.code()).as(report.err()).isZero();
    assertThat(out.resolve("LN12-001.html"))
        .content(StandardCharsets.UTF_8)
        .containsPattern("guard band 0\\.0\\d+.dB");
  }
}
