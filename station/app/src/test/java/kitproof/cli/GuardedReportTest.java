package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
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
  @TempDir private Path folder;

  private Path calibratedBench() throws IOException {
    return new CalibratedBench(
            List.of("left"),
            "full-scale: 2 V, u: 1 mV",
            1,
            "4 mV",
            "level: 0 dB, u: 0.01 dB",
            "level: 0 dB, u: 0.01 dB",
            """
            instruments:
              hv-meter:
                accuracy:
                  - {function: hv, limits: "±(0.5 % + 3 digits)", resolution: 0.1 V}
            resistors: [{route: left 8 ohm tap, resistance: 8 ohm, u: 4 mohm}]
            """)
        .in(folder);
  }

  @Test
  void aGuardedGainIsJudgedExplainedAndCertified() throws IOException {
    Path bench = calibratedBench();
    Path plan = SmallPlans.gain(folder, "left", "none");
    SmallPlans.gainLimits(folder, "guarded acceptance", "low: 20 dB, high: 40 dB");
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

    Cli budget = budget(records, "gain");
    assertThat(budget.code()).as(budget.err()).isZero();
    assertThat(budget.out()).contains("full scale of input left", "path of left", "+/-0.0259 dB");
    Cli wrong = budget(records, "gian");
    assertThat(wrong.code()).isEqualTo(2);
    assertThat(wrong.err()).contains("found no \"gian\"").contains("gain");

    Path out = folder.resolve("out");
    Cli report = Cli.run("report", "--unit", "LN12-001", "--records", records, "--out", out);
    assertThat(report.code()).as(report.err()).isZero();
    assertThat(out.resolve("LN12-001.html"))
        .content(StandardCharsets.UTF_8)
        .containsPattern("guard band 0\\.0\\d+.dB");
  }

  private static Cli budget(Path records, String result) {
    return Cli.run(
        "report", "--unit", "LN12-001", "--records", records, "--uncertainty", "--result", result);
  }
}
