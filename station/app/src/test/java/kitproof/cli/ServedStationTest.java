package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Pattern;
import kitproof.plugin.DriverLoader;
import kitproof.screen.Station;
import kitproof.web.Access;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What an order at the operator's screen comes to. */
class ServedStationTest {
  private static final Pattern METER =
      Pattern.compile("  \"line-meter\":\\n    identity: [^\\n]*\\n");
  private static final String CORRECTED = "    corrections: [{function: %s, gain: 1.01}]\n";

  @TempDir Path folder;

  @Test
  void aCheckOfTheStationIsNoUnitOfTheBatchThatIsTested() {
    Prepared prepared =
        Prepared.read(
                Cli.example("selfcheck.yaml"),
                Cli.example("bench-uneven.yaml"),
                DriverLoader.load(Path.of("no-such-folder")),
                true)
            .value();
    assertThat(ServedStation.batch(prepared, order("CS-01"))).isEmpty();
    assertThat(ServedStation.batch(prepared, order("LN12-001"))).isEqualTo("pilot");
  }

  /** It holds certificates, which the new file would take over if it could be read. */
  @Test
  void aCalibrationThatCannotBeReadIsNotWrittenOver() throws Exception {
    Path bench = copied();
    Path file = folder.resolve("bench-uneven.calibration.yaml");
    String broken = Files.readString(Cli.example("bench-uneven.calibration.yaml")) + "outputs: [\n";
    Files.writeString(file, broken);
    try (Served served = new Served(folder, bench, 1000, new Access("127.0.0.1", 0, null))) {
      Station.Started started =
          served.station().start(new Station.Order("calibration.yaml", "bench-3", "", false));
      assertThat(started.begun()).isFalse();
      assertThat(started.problems().toString())
          .contains("a calibration that cannot be read, with certificates of instruments in it");
    }
    assertThat(file).content(StandardCharsets.UTF_8).isEqualTo(broken);
  }

  /** Its readings would go into the new file as they are, which the old one says are wrong. */
  @Test
  void aMeterThatIsCorrectedDoesNotCalibrate() throws Exception {
    Path bench = copied();
    Path file = folder.resolve("bench-uneven.calibration.yaml");
    String good = Files.readString(Cli.example("bench-uneven.calibration.yaml"));
    for (String function : new String[] {"left output", "another"}) {
      String corrected = METER.matcher(good).replaceFirst("$0" + CORRECTED.formatted(function));
      assertThat(corrected).isNotEqualTo(good);
      Files.writeString(file, corrected);
      boolean refused = function.equals("left output");
      String why =
          "line-meter, whose function left output has a correction in"
              + " bench-uneven.calibration.yaml";
      try (Served served = new Served(folder, bench, 1000, new Access("127.0.0.1", 0, null))) {
        String problems = served.station().check("calibration.yaml").orElseThrow().toString();
        assertThat(problems.contains(why)).as(problems).isEqualTo(refused);
      }
      if (refused) {
        Cli cli =
            Cli.run(
                "calibrate",
                folder.resolve("calibration.yaml"),
                "--bench",
                bench,
                "--records",
                folder.resolve("records"));
        assertThat(cli.code()).isEqualTo(2);
        assertThat(cli.err()).contains(why, "or the correction taken out of that file");
        assertThat(file).content(StandardCharsets.UTF_8).isEqualTo(corrected);
      }
    }
  }

  /** Told when the plan is chosen, not only when the unit is on the bench. */
  @Test
  void aPlanThatComparesWithAUnitWithoutARecordIsToldWhenItIsChosen() throws Exception {
    String beside =
        "- {step: beside, procedure: comparison, result: hv, against: {unit: LN12-001}}\n";
    Served.plan(folder, "beside", OperatorPages.POWER + beside);
    Served.limits(
        folder,
        "beside",
        OperatorPages.POWER_LIMITS
            + "- {result: hv difference, when: {against unit: LN12-001}, low: -20 V, high: 20 V}\n");
    try (Served served = new Served(folder, 1000, new Access("127.0.0.1", 0, null))) {
      assertThat(served.station().check("beside.yaml").orElseThrow().toString())
          .contains("a comparison with a unit that has no passed record here", "LN12-001");
      Served.plan(folder, "beside", OperatorPages.POWER);
      Served.limits(folder, "beside", OperatorPages.POWER_LIMITS);
      assertThat(served.station().check("beside.yaml").orElseThrow()).isEmpty();
      assertThat(served.station().check("no-such.yaml")).isEmpty();
    }
  }

  private Path copied() throws IOException {
    for (String name :
        new String[] {"bench-uneven.yaml", "calibration.yaml", "calibration-limits.yaml"}) {
      Files.copy(Cli.example(name), folder.resolve(name));
    }
    return folder.resolve("bench-uneven.yaml");
  }

  private static Station.Order order(String unit) {
    return new Station.Order("selfcheck.yaml", unit, "pilot", false);
  }
}
