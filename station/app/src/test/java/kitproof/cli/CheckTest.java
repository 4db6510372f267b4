package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class CheckTest {
  private static final Path PLAN = Cli.example("plan.yaml");
  private static final Path BENCH = Cli.example("bench-simulated.yaml");
  private static final Path LIMITS = Cli.HOME.resolve("limits/linnet-12/revision-b.yaml");

  @TempDir Path folder;

  @Test
  void theShippedFilesAreGoodTogetherAndAlone() {
    Cli together = Cli.run("check", PLAN, BENCH, LIMITS);
    assertThat(together.err()).isEmpty();
    assertThat(together.out().lines())
        .satisfiesExactly(
            line -> assertThat(line).isEqualTo("3 files: good"),
            line ->
                assertThat(line)
                    .startsWith("proved of Linnet 12")
                    .contains(": if relays do as they are told, drive is never connected"),
            line ->
                assertThat(line)
                    .startsWith("heat of loads, Linnet 12 acceptance on simulated Linnet 12 bench:")
                    .endsWith(" % of its 25 W"));
    assertThat(together.code()).isZero();
    for (Path file : new Path[] {PLAN, BENCH, LIMITS}) {
      assertThat(Cli.run("check", file).out()).isEqualTo(file + ": good" + System.lineSeparator());
    }
    assertThat(Cli.run("check", PLAN, BENCH, "--json").json().get("problems")).isEmpty();
  }

  @Test
  void aLimitFileThatIsNotThereIsToldWhereThePlanNamesIt() throws IOException {
    Path plan = changed(PLAN, "revision-b.yaml", "revison-b.yaml");
    for (Cli cli :
        new Cli[] {
          Cli.run("check", plan, BENCH),
          Cli.run("run", plan, "--bench", BENCH, "--unit", "LN12-001", "--records", folder)
        }) {
      assertThat(cli.code()).isEqualTo(2);
      assertThat(cli.err())
          .containsPattern(
              "plan\\.yaml:\\d+:9: found no file \\S+revison-b\\.yaml; expected the limit file, by"
                  + " its path from the plan; did you mean \"revision-b\\.yaml\"\\?");
    }
  }

  @Test
  void aRelayBoardWithoutAWatchdogIsSaidToBeOne() throws IOException {
    Path serial = BENCH.resolveSibling("bench-serial.yaml");
    assertThat(Cli.run("check", serial).out())
        .contains(": good", "caution: relays: no watchdog is set: relays that are energised when");
    Path watched =
        changed(serial, "parity: even", "parity: even\n      watchdog: {register: 16, value: 50}");
    assertThat(Cli.run("check", watched).out()).contains(": good").doesNotContain("caution");
  }

  @Test
  void whatEvenAColdLoadWouldNotStandIsRefusedAndWhereItMayWaitIsTold() throws IOException {
    Path weak = changed(BENCH, "rating: 25 W", "rating: 20 mW");
    Cli refused = Cli.run("check", PLAN, weak);
    assertThat(refused.code()).isEqualTo(2);
    assertThat(refused.err())
        .contains("found 1.0 W for 3.0 s in one signal into load \"left 4 ohm\"")
        .contains("even cold the load stands 20 mW over 60 s");
    Path warm = changed(BENCH, "rating: 25 W", "rating: 1.5 W");
    Cli waits = Cli.run("check", PLAN, warm);
    assertThat(waits.code()).as(waits.err()).isZero();
    assertThat(waits.out())
        .contains("may wait up to ")
        .contains("  distortion against power (mode ultralinear, ")
        .contains("% of its 1.5 W, may wait ");
    assertThat(Cli.run("check", PLAN, warm, "--json").json().at("/heat/0/steps"))
        .isNotEmpty()
        .allSatisfy(step -> assertThat(step.path("rating").asDouble()).isEqualTo(1.5));
  }

  private Path changed(Path file, String from, String to) throws IOException {
    String text = Files.readString(file);
    assertThat(text).contains(from);
    return Files.writeString(
        folder.resolve(file.getFileName()),
        text.replace(from, to).replace("../../../limits", Cli.HOME.resolve("limits").toString()));
  }

  @Test
  void everyProblemOfEveryFileIsToldAtOnceWithItsPlace() throws IOException {
    Path plan = changed(PLAN, "count: 5", "cuont: 5");
    Path bench = changed(BENCH, "driver: simulated-bench", "driver: simulatd-bench");
    Cli cli = Cli.run("check", plan, bench);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.out()).isEmpty();
    assertThat(cli.err().lines())
        .as(cli.err())
        .filteredOn(l -> l.startsWith(plan + ":"))
        .hasSize(2)
        .allMatch(l -> l.matches(".*:\\d+:\\d+: .*cuont.*count.*"));
    assertThat(cli.err().lines())
        .filteredOn(l -> l.startsWith(bench + ":"))
        .hasSize(7)
        .allMatch(l -> l.matches(".*:\\d+:\\d+: .*simulatd-bench.*simulated-bench.*"));
    assertThat(cli.err().strip()).endsWith("9 problems");
  }

  @Test
  void aProgramGetsTheSameProblems() throws IOException {
    Path bench = changed(BENCH, "time: simulated", "time: simulatd");
    Cli cli = Cli.run("check", bench, "--json");
    assertThat(cli.code()).isEqualTo(2);
    JsonNode problems = cli.json().get("problems");
    assertThat(problems).hasSize(1);
    assertThat(problems.get(0).get("file").asText()).isEqualTo(bench.toString());
    assertThat(problems.get(0).get("line").asInt()).isEqualTo(8);
    assertThat(problems.get(0).get("column").asInt()).isEqualTo(7);
    assertThat(problems.get(0).get("nearest").asText()).isEqualTo("simulated");
  }

  @Test
  void aLimitThatNoStepCanMeetIsReported() throws IOException {
    Path limits =
        Files.writeString(
            folder.resolve("limits.yaml"),
            Files.readString(LIMITS) + "  - {result: crosstalk, high: -60 dB}\n");
    Path plan = changed(PLAN, "../../../limits/linnet-12/revision-b.yaml", limits.toString());
    Cli cli = Cli.run("check", plan);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("limits.yaml:").contains("crosstalk");
    assertThat(cli.err().strip()).endsWith("1 problem");
  }

  @Test
  void aGuardedLimitHoldsOnABenchWhoseCalibrationKnowsWhatItNeedsAndOnNoOther() throws IOException {
    for (String name : new String[] {"bench-uneven.yaml", "bench-uneven.calibration.yaml"}) {
      Files.copy(Cli.example(name), folder.resolve(name));
    }
    Path bench = folder.resolve("bench-uneven.yaml");
    Path limits =
        Files.writeString(
            folder.resolve("limits.yaml"),
            "{limits: l, product: Linnet 12, revision: B, rule: guarded acceptance,"
                + " judge: [{result: gain, low: 20 dB, high: 40 dB}]}");
    Path plan =
        Files.writeString(
            folder.resolve("plan.yaml"),
            """
            plan: guarded
            product: Linnet 12
            revision: B
            limits: limits.yaml
            steps:
              - step: gain
                procedure: gain
                conditions: {channel: left, tap: 8 ohm}
                power: 1 W
            """);
    Cli good = Cli.run("check", plan, bench);
    assertThat(good.code()).as(good.err()).isZero();
    Files.delete(folder.resolve("bench-uneven.calibration.yaml"));
    Cli refused = Cli.run("check", plan, bench);
    assertThat(refused.code()).as("without a calibration").isEqualTo(2);
    assertThat(refused.err()).contains("guarded acceptance").contains("without calibration");
    assertThat(limits).exists();
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "- a list", "nothing: here", "plan: [", "\u0000"})
  void whatIsNoneOfTheThreeIsToldPlainly(String text) throws IOException {
    Path file = Files.writeString(folder.resolve("odd.yaml"), text);
    Cli cli = Cli.run("check", file);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).startsWith(file + ":").doesNotContain("Exception");
  }

  @Test
  void aMissingFileIsAProblemLikeAnyOther() {
    Cli cli = Cli.run("check", folder.resolve("missing.yaml"), BENCH);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("missing.yaml").endsWith("1 problem" + System.lineSeparator());
  }

  @Test
  void aGuideOfGoodFilesIsWrittenAndTold() throws IOException {
    Path guide = Files.writeString(folder.resolve("guide.html"), "an old one");
    Cli cli = Cli.run("check", PLAN, BENCH, "--guide", guide);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.lastLine()).isEqualTo("bench guide: " + guide);
    assertThat(Files.readString(guide))
        .startsWith("<!DOCTYPE html>")
        .endsWith("</html>\n")
        .contains(BENCH + ", sha256:", "Interlocks of plan Linnet 12 acceptance");
    assertThat(folder).isDirectoryNotContaining(file -> file.toString().endsWith(".part"));
    Cli forPrograms = Cli.run("check", BENCH, "--json", "--guide", guide);
    assertThat(forPrograms.json().get("guide").asText()).isEqualTo(guide.toString());
  }

  @Test
  void badFilesGiveNoGuide() throws IOException {
    Path bench = changed(BENCH, "time: simulated", "time: simulatd");
    Path guide = folder.resolve("guide.html");
    Cli cli = Cli.run("check", bench, "--guide", guide);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("simulatd");
    assertThat(guide).doesNotExist();
  }

  @Test
  void aGuideIsOfOneBenchAndReplacesNoFileThatIsChecked() throws IOException {
    Path guide = folder.resolve("guide.html");
    Cli none = Cli.run("check", PLAN, "--guide", guide);
    assertThat(none.code()).isEqualTo(2);
    assertThat(none.err()).contains("--guide: found 0 bench files; expected one");
    Cli odd = Cli.run("check", BENCH, "--guide", folder.resolve("guide.pdf"));
    assertThat(odd.code()).isEqualTo(2);
    assertThat(odd.err()).contains("--guide: found").contains("expected a file that ends in .html");
    Cli nowhere = Cli.run("check", BENCH, "--guide", folder.resolve("none/guide.html"));
    assertThat(nowhere.code()).isEqualTo(2);
    assertThat(nowhere.err()).contains("--guide: found no folder " + folder.resolve("none"));
    assertThat(folder).isEmptyDirectory();
    String text = Files.readString(BENCH);
    Path bench = Files.writeString(folder.resolve("bench.html"), text);
    Cli own = Cli.run("check", bench, "--guide", folder.resolve("./bench.html"));
    assertThat(own.code()).isEqualTo(2);
    assertThat(own.err()).contains("which is to be checked; expected another file");
    assertThat(Files.readString(bench)).isEqualTo(text);
  }
}
