package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import kitproof.plugin.DriverLoader;
import kitproof.screen.Station;
import kitproof.web.Access;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What an order at the operator's screen comes to. */
class ServedStationTest {
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

  @Test
  void aCalibrationIsNotBegunForNobody() throws Exception {
    try (Served served = new Served(folder, copied(), 1000, new Access("127.0.0.1", 0, null))) {
      Station.Started started =
          served.station().start(new Station.Order("calibration.yaml", "bench-3", "", false));
      assertThat(started.begun()).isFalse();
      assertThat(started.refused())
          .isEqualTo("a calibration needs the name of the person who does it");
    }
    assertThat(folder.resolve("bench-uneven.calibration.yaml")).doesNotExist();
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
