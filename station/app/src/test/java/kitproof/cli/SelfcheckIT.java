package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The morning check on the shipped bench with errors: what it locks, and what unlocks it. */
class SelfcheckIT {
  private static final String DRIFTED = "input-left: 2.79 %"; // 0.3 dB more than before

  @TempDir private Path folder;

  @BeforeEach
  void prepare() throws IOException {
    for (String name :
        List.of("bench-uneven.yaml", "bench-uneven.calibration.yaml", "selfcheck-limits.yaml")) {
      Files.copy(Cli.example(name), folder.resolve(name));
    }
    String plan = Files.readString(Cli.example("selfcheck.yaml"));
    plan =
        plan.substring(0, plan.indexOf("  - step: loop right"))
            .replace("procedure: check-loop", "procedure: check-loop\n    frequencies: [997 Hz]");
    Files.writeString(folder.resolve("selfcheck.yaml"), plan);
    Files.writeString(
        folder.resolve("unit.yaml"),
        """
        plan: unit
        product: unit
        revision: A
        limits: unit-limits.yaml
        steps:
          - step: resistor
            procedure: resistance-of-the-unit
        """
            .replace(
                "resistance-of-the-unit",
                "reading\n    meter: ohmmeter\n    function: left load\n    result: load"));
    Files.writeString(
        folder.resolve("unit-limits.yaml"),
        "limits: l\nproduct: unit\nrevision: A\nrule: simple acceptance\n"
            + "judge: [{result: load, high: 9 ohm}]\n");
  }

  private Cli call(String command, String plan, Object... more) {
    List<Object> arguments = new ArrayList<>();
    arguments.addAll(
        List.of(
            command,
            folder.resolve(plan),
            "--bench",
            folder.resolve("bench-uneven.yaml"),
            "--records",
            folder.resolve("records")));
    arguments.addAll(List.of(more));
    return Cli.run(arguments.toArray());
  }

  private void bench(String from, String to) throws IOException {
    Path file = folder.resolve("bench-uneven.yaml");
    String text = Files.readString(file);
    assertThat(text).contains(from);
    Files.writeString(file, text.replace(from, to));
  }

  private static JsonNode record(Cli run) throws IOException {
    return new ObjectMapper()
        .readTree(Path.of(run.lastLine().replaceFirst(".*record: ", "")).toFile());
  }

  @Test
  void aStationThatHasDriftedIsLockedUntilItIsRepaired() throws IOException {
    Cli unchecked = call("run", "unit.yaml", "--unit", "U-1");
    assertThat(unchecked.code()).as(unchecked.out()).isEqualTo(2);
    assertThat(unchecked.err())
        .contains("station \"bench-3\" locked: it has not been checked yet")
        .contains("a good \"kitproof selfcheck\" with check standard CS-01")
        .contains("--override-lock \"NAME: REASON\"");

    Cli good = call("selfcheck", "selfcheck.yaml");
    assertThat(good.code()).as(good.out() + good.err()).isZero();
    assertThat(good.out()).contains("station unlocked");
    assertThat(call("run", "unit.yaml", "--unit", "U-1").code()).isZero();

    bench("input-left: -0.7 %", DRIFTED);
    Cli drifted = call("selfcheck", "selfcheck.yaml");
    assertThat(drifted.code()).as(drifted.out()).isEqualTo(1);
    assertThat(drifted.out())
        .containsPattern(
            "LOCKED: loop level \\(channel left, range range 20 V, frequency 997 Hz\\) is 0\\.(3|29)"
                + "\\d* dB: its normalised error against the calibration is \\d+\\.\\d\\d, the limit"
                + " -1 to 1")
        .contains("What to do: look at leads, loads and meter first")
        .doesNotContain("LOCKED: line level") // it is the input: the meter agrees with the output
        .doesNotContain("LOCKED: check resistance");
    Cli locked = call("run", "unit.yaml", "--unit", "U-2");
    assertThat(locked.code()).isEqualTo(2);
    assertThat(locked.err()).contains("locked: loop level (channel left", "is 0.3");
    try (var records = Files.list(folder.resolve("records"))) {
      assertThat(records).as("nothing was begun").noneMatch(p -> p.toString().contains("U-2"));
    }

    Cli bad = call("run", "unit.yaml", "--unit", "U-2", "--override-lock", "because");
    assertThat(bad.code()).isEqualTo(2);
    assertThat(bad.err()).contains("--override-lock: found \"because\"; expected who and why");
    Cli opened =
        call("run", "unit.yaml", "--unit", "U-2", "--override-lock", "A. Person: no spare");
    assertThat(opened.code()).as(opened.out() + opened.err()).isZero();
    String told = "STATION LOCK OVERRIDDEN by A. Person: no spare (locked: loop level";
    assertThat(opened.out().lines().toList().get((int) opened.out().lines().count() - 2))
        .startsWith(told);
    JsonNode record = record(opened);
    assertThat(record.path("notices").toString()).contains(told);
    assertThat(record.findPath("note").asText()).startsWith("station lock overridden by A. Person");
    Cli certificate =
        Cli.run(
            "report",
            "--unit",
            "U-2",
            "--records",
            folder.resolve("records"),
            "--out",
            folder.resolve("certificates"));
    assertThat(certificate.code()).as(certificate.err()).isZero();
    assertThat(Files.readString(folder.resolve("certificates/U-2.html")))
        .contains("STATION LOCK OVERRIDDEN by A. Person");

    bench(DRIFTED, "input-left: -0.7 %");
    assertThat(call("run", "unit.yaml", "--unit", "U-3").code()).as("not by itself").isEqualTo(2);
    assertThat(call("selfcheck", "selfcheck.yaml").code()).isZero();
    assertThat(call("run", "unit.yaml", "--unit", "U-3").code()).isZero();
  }

  @Test
  void aCheckThatIsOldOrAgainstAnotherCalibrationDoesNotHold() throws IOException {
    assertThat(call("selfcheck", "selfcheck.yaml").code()).isZero();
    Path state = folder.resolve("records/bench-3.selfcheck");
    String now = Files.readString(state);
    String before =
        now.replaceFirst(
            "\"at\" : \"[^\"]*\"",
            "\"at\" : \"" + Instant.now().minus(31, ChronoUnit.HOURS) + "\"");
    Files.writeString(state, before);
    Cli old = call("run", "unit.yaml", "--unit", "U-1");
    assertThat(old.code()).isEqualTo(2);
    assertThat(old.err()).contains("is 31 h old and holds for 24 h");

    Files.writeString(state, now);
    assertThat(call("run", "unit.yaml", "--unit", "U-1").code()).isZero();
    Path calibration = folder.resolve("bench-uneven.calibration.yaml");
    Files.writeString(calibration, Files.readString(calibration) + "# looked at\n");
    Cli other = call("run", "unit.yaml", "--unit", "U-2");
    assertThat(other.code()).isEqualTo(2);
    assertThat(other.err()).contains("its calibration is another one than at its last check");

    Files.writeString(state, "{");
    Cli damaged = call("run", "unit.yaml", "--unit", "U-2");
    assertThat(damaged.code()).as(damaged.err()).isEqualTo(2);
    assertThat(damaged.err()).contains("bench-3.selfcheck is damaged", "selfcheck again");
  }

  @Test
  void aStepOfAUnitsPlanStopsTheRunAndLocksTheStation() throws IOException {
    assertThat(call("selfcheck", "selfcheck.yaml").code()).isZero();
    Files.writeString(
        folder.resolve("unit.yaml"),
        Files.readString(folder.resolve("unit.yaml"))
            .replace(
                "  - step: resistor",
                """
                  - step: station
                    procedure: check-loop
                    conditions: {channel: left}
                    select: [outputs on inputs]
                    ranges: [range 20 V]
                    frequencies: [997 Hz]
                    stops: true
                  - step: resistor\
                """
                    .stripTrailing()));
    Cli good = call("run", "unit.yaml", "--unit", "U-1");
    assertThat(good.code()).as(good.out() + good.err()).isZero();
    bench("input-left: -0.7 %", DRIFTED);
    Cli stopped = call("run", "unit.yaml", "--unit", "U-2");
    assertThat(stopped.code()).as(stopped.out()).isEqualTo(3);
    assertThat(stopped.out()).contains("the station is out of its limits: loop level");
    assertThat(call("run", "unit.yaml", "--unit", "U-3").code()).isEqualTo(2);
  }

  @Test
  void aBenchWithoutACheckStandardOrACalibrationIsRefused() throws IOException {
    bench("selfcheck: {check-standard: CS-01, hours: 24}", "");
    Cli none = call("selfcheck", "selfcheck.yaml");
    assertThat(none.code()).isEqualTo(2);
    assertThat(none.err()).contains("no selfcheck in the bench file");
    assertThat(call("run", "unit.yaml", "--unit", "U-1").code()).as("needs none").isZero();
    Files.delete(folder.resolve("bench-uneven.calibration.yaml"));
    bench("time: simulated", "time: simulated\nselfcheck: {check-standard: CS-01}");
    Cli uncalibrated = call("selfcheck", "selfcheck.yaml");
    assertThat(uncalibrated.code()).isEqualTo(2);
    assertThat(uncalibrated.err()).contains("no calibration that the check could be held against");
  }
}
