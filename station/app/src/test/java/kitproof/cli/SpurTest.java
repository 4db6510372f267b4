package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The simulated interface has a line of its own at 21.3 kHz, above the limit for stray lines. */
class SpurTest {
  private static final String SPUR = "-70 dB";

  @TempDir Path folder;

  private Path bench(String spurs) throws IOException {
    String shipped = Files.readString(Cli.example("bench-simulated.yaml"));
    String changed =
        shipped
            .replace("output-noise: -115.8 dB}", "output-noise: -115.8 dB" + spurs + "}")
            .replace(
                "driver: simulated-bench\n    kind: audio-interface\n    settings:\n",
                "driver: simulated-bench\n    kind: audio-interface\n    settings:\n      errors: {spur: "
                    + SPUR
                    + ", spur-at: 21.3 kHz}\n");
    assertThat(changed).contains("spur-at").isNotEqualTo(shipped);
    return Files.writeString(folder.resolve("bench.yaml"), changed);
  }

  private Cli run(Path bench, String unit) throws IOException {
    Path plan = RunTest.firstPower(folder);
    Files.writeString(
        plan,
        Files.readString(plan)
            .replace(
                "shut-down:\n",
                """
                  - {step: rail, procedure: reading, mains: direct, wait: 45 s, meter: hv-meter, function: hv, result: hv}
                  - {step: stability, procedure: stability, conditions: {mode: ultralinear, tap: 8 ohm, channel: left}, power: 1 W}
                shut-down:
                """));
    Path limits = folder.resolve("limits.yaml");
    Files.writeString(
        limits, Files.readString(limits) + "  - {result: stray line, high: -60 dBV}\n");
    return Cli.run(
        "run", plan, "--bench", bench, "--records", folder.resolve("records"), "--unit", unit);
  }

  @Test
  void whereTheBenchFileTellsItOnlyTheUnitsOwnLinesCount() throws IOException {
    Path bench = bench(", spurs: [{at: 21.3 kHz, input: " + SPUR + "}]");
    Cli good = run(bench, "LN12-001");
    assertThat(good.code()).as(good.out() + good.err()).isZero();
    assertThat(good.out()).contains("at 21.3 kHz is the station's own and passed over");
    Cli oscillating = run(bench, "LN12-011");
    assertThat(oscillating.code()).as(oscillating.out() + oscillating.err()).isEqualTo(1);
    assertThat(oscillating.out()).contains("FAIL  stray line");
  }

  @Test
  void whereItDoesNotTheUnitIsBlamed() throws IOException {
    Cli blamed = run(bench(""), "LN12-001");
    assertThat(blamed.code()).as(blamed.out() + blamed.err()).isEqualTo(1);
    assertThat(blamed.out()).contains("FAIL  stray line");
  }
}
