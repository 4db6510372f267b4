package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import kitproof.plugin.DriverLoader;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Which runs a locked station still makes. */
class StationGateTest {
  private static final String LOAD =
      "  - {step: load, procedure: reading, meter: ohmmeter, function: left load, result: load}\n";
  private static final String LIMITS =
      "limits: l\nproduct: %s\nrevision: A\nrule: simple acceptance\n"
          + "judge: [{result: load, high: 9 ohm}]\n";

  @TempDir private Path folder;

  @BeforeEach
  void prepare() throws IOException {
    for (String name :
        new String[] {
          "bench-uneven.yaml",
          "bench-uneven.calibration.yaml",
          "selfcheck.yaml",
          "selfcheck-limits.yaml",
          "calibration.yaml",
          "calibration-limits.yaml"
        }) {
      Files.copy(Cli.example(name), folder.resolve(name));
    }
    Files.writeString(
        folder.resolve("unit.yaml"),
        "plan: unit\nproduct: unit\nrevision: A\nlimits: l.yaml\nsteps:\n" + LOAD);
    Files.writeString(folder.resolve("l.yaml"), LIMITS.formatted("unit"));
    for (String name : new String[] {"selfcheck.yaml", "calibration.yaml"}) {
      String text = Files.readString(folder.resolve(name));
      assertThat(text).contains("\nsteps:\n");
      Files.writeString(
          folder.resolve("mixed-" + name), text.replace("\nsteps:\n", "\nsteps:\n" + LOAD));
    }
  }

  private boolean ofTheStation(String plan, String unit) {
    Path bench = folder.resolve("bench-uneven.yaml");
    return StationGate.isOfTheStation(
        Prepared.read(
                folder.resolve(plan), bench, DriverLoader.load(Cli.HOME.resolve("plugins")), true)
            .value(),
        unit);
  }

  @Test
  void onlyPlansThatDoNothingElseAreOfTheStation() {
    assertThat(ofTheStation("calibration.yaml", "bench-3")).isTrue();
    assertThat(ofTheStation("selfcheck.yaml", "CS-01")).isTrue();
    assertThat(ofTheStation("selfcheck.yaml", "U-1")).isFalse();
    assertThat(ofTheStation("unit.yaml", "U-1")).isFalse();
    assertThat(ofTheStation("unit.yaml", "CS-01")).as("a unit by the standard's name").isFalse();
    assertThat(ofTheStation("mixed-calibration.yaml", "U-1")).isFalse();
    assertThat(ofTheStation("mixed-selfcheck.yaml", "CS-01")).isFalse();
  }

  @Test
  void aUnitsRunUnderTheStandardsNameIsRefusedOnALockedStation() {
    Cli run =
        Cli.run(
            "run",
            folder.resolve("unit.yaml"),
            "--bench",
            folder.resolve("bench-uneven.yaml"),
            "--records",
            folder.resolve("records"),
            "--unit",
            "CS-01");
    assertThat(run.code()).as(run.out()).isEqualTo(2);
    assertThat(run.err()).contains("locked: it has not been checked yet");
  }
}
