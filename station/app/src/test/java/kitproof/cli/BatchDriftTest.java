package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import kitproof.batch.Linnets;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The batch's command with a check standard: what it tells, and that it counts no run of it. */
class BatchDriftTest {
  @TempDir Path folder;
  private Path records;

  /** The interface gains 0.01 dB a run; somebody gave the batch's name to the checks as well. */
  @BeforeEach
  void aStationThatDrifts() throws IOException {
    records = folder.resolve("records");
    Linnets linnets = new Linnets(records);
    for (int i = 0; i < 10; i++) {
      linnets.run("pilot", 900, 25.8 + 0.02 * i + 0.001 * (i % 3), -0.5);
      linnets.run("pilot", i + 1, 26 + 0.02 * i + 0.01 * (i % 2), -0.5);
    }
    linnets.run("pilot", 900, 26.01, -0.5);
  }

  private Cli batch(Object... more) {
    Object[] all = new Object[4 + more.length];
    System.arraycopy(new Object[] {"batch", "pilot", "--records", records}, 0, all, 0, 4);
    System.arraycopy(more, 0, all, 4, more.length);
    return Cli.run(all);
  }

  @Test
  void inWordsForAProgramAndOnPaper() throws IOException {
    Cli text = batch("--check-standard", "LN12-900");
    assertThat(text.code()).as(text.err()).isZero();
    assertThat(text.out())
        .contains("batch pilot: 10 units, 10 runs")
        .contains("Drift told apart by check standard LN12-900")
        .contains("the station drifts, not the units: by check standard LN12-900 (gain (mode");
    assertThat(batch().out()).contains("11 units").doesNotContain("Drift told apart");

    JsonNode drift = batch("--check-standard", "LN12-900", "--json").json().get("stationDrift");
    JsonNode gain = drift.get(0);
    assertThat(gain.get("result").asText()).isEqualTo("gain");
    assertThat(gain.get("whose").asText()).isEqualTo("the station drifts, not the units");
    // 0.02 dB in twenty minutes.
    assertThat(gain.get("stationPerDay").get("bounds").get(0).asDouble()).isLessThan(1.44);
    assertThat(gain.get("stationPerDay").get("bounds").get(1).asDouble()).isGreaterThan(1.44);
    assertThat(gain.get("unitsPerDay").get("bounds").get(0).asDouble()).isLessThan(0);

    Path reports = folder.resolve("reports");
    assertThat(batch("--check-standard", "LN12-900", "--report", reports).code()).isZero();
    assertThat(Files.readString(reports.resolve("pilot.html")))
        .contains("the station drifts, not the units");
  }

  @Test
  void theBenchFileMayNameIt() throws IOException {
    Path bench = folder.resolve("bench.yaml");
    Files.writeString(bench, "bench: b\nselfcheck: {check-standard: LN12-900, every: 24 h}\n");
    assertThat(batch("--bench", bench).out()).contains("the station drifts, not the units");

    Files.writeString(bench, "bench: b\n");
    Cli none = batch("--bench", bench);
    assertThat(none.code()).isEqualTo(2);
    assertThat(none.err()).contains("found no check standard in");
  }

  @Test
  void oneThatWasNeverMeasuredIsRefused() {
    Cli cli = batch("--check-standard", "CS-01");
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("found no run of CS-01");
  }
}
