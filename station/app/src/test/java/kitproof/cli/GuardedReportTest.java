package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Objects;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** From a calibrated bench and a guarded limit to the budget and the certificate. */
class GuardedReportTest {
  @TempDir private Path folder;

  @Test
  void aGuardedGainIsJudgedExplainedAndCertified() throws IOException {
    Path records = folder.resolve("records");
    RunRecord record = RecordDocument.read(GuardedRun.of(folder, records));
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
