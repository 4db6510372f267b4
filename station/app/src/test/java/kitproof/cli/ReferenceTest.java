package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A run beside another unit's record, from the command line. */
class ReferenceTest {
  private static final Path BENCH = Cli.example("bench-simulated.yaml");

  @TempDir Path folder;
  private Path plan;

  @BeforeEach
  void write() throws IOException {
    plan = RunTest.firstPower(folder);
    compareWith("reference");
  }

  private void compareWith(String unit) throws IOException {
    RunTest.firstPower(folder);
    Files.writeString(
        plan,
        Files.readString(plan)
            .replace(
                "shut-down:\n",
                """
                  - {step: rail, procedure: reading, mains: direct, wait: 45 s, meter: hv-meter, function: hv, result: hv}
                  - step: rail beside the other
                    procedure: comparison
                    result: hv
                    against: {unit: %s}
                shut-down:
                """
                    .formatted(unit)));
    Path limits = folder.resolve("limits.yaml");
    Files.writeString(
        limits,
        Files.readString(limits)
            + "  - {result: hv difference, when: {against unit: "
            + unit
            + "}, low: -20 V, high: 20 V}\n");
  }

  private Cli run(String unit, Object... more) {
    Object[] usual = {
      "run", plan, "--bench", BENCH, "--records", folder.resolve("records"), "--unit", unit
    };
    return Cli.run(Stream.of(usual, more).flatMap(Stream::of).toArray());
  }

  private static Path record(Cli cli) {
    return Path.of(cli.lastLine().replaceFirst(".*record: ", ""));
  }

  private static JsonNode json(Path record) throws IOException {
    return new ObjectMapper().readTree(Files.readString(record));
  }

  @Test
  void aSisterIsComparedWithTheUnitThatIsNamed() throws IOException {
    Cli first = run("LN12-001");
    assertThat(first.code()).as(first.out() + first.err()).isZero();
    assertThat(first.out()).contains("left out: no reference unit was named");
    Cli rejudged =
        Cli.run(
            "rejudge",
            "--records",
            folder.resolve("records"),
            "--limits",
            folder.resolve("limits.yaml"),
            "--json");
    assertThat(rejudged.json().at("/runs/0/after").asText()).isEqualTo("pass");
    Cli sister = run("LN12-004", "--reference", "LN12-001");
    assertThat(sister.code()).as(sister.out() + sister.err()).isZero();
    assertThat(sister.out())
        .contains("hv difference", "compared with reference unit LN12-001, attempt 1 (run ");
    JsonNode record = json(record(sister));
    assertThat(record.get("digests").get("record of unit LN12-001").asText())
        .isEqualTo(Digest.of(record(first)));
    // By its record's file, itself among them: how far has it drifted since?
    Cli again = run("LN12-001", "--retest", "--reference", record(first));
    assertThat(again.code()).as(again.out() + again.err()).isZero();
    assertThat(again.out()).contains("pass  hv difference");
  }

  @Test
  void aUnitThatThePlanNamesMustHaveARecordThatItPassed() throws IOException {
    compareWith("LN12-001");
    Cli early = run("LN12-004");
    assertThat(early.code()).isEqualTo(2);
    assertThat(early.err())
        .contains("plan.yaml:")
        .contains("a comparison with a unit that has no passed record here, \"LN12-001\"");
    Cli check = Cli.run("check", plan, BENCH, "--records", folder.resolve("records"));
    assertThat(check.code()).isEqualTo(2);
    assertThat(check.err()).contains("no passed record here, \"LN12-001\"");
    Cli golden = run("LN12-001"); // by the same plan
    assertThat(golden.code()).as(golden.out() + golden.err()).isZero();
    assertThat(golden.out()).contains("left out: this unit is the reference");
    assertThat(Cli.run("check", plan, BENCH, "--records", folder.resolve("records")).code())
        .isZero();
    Cli sister = run("LN12-004");
    assertThat(sister.out() + sister.err()).contains("pass  hv difference");
  }

  @Test
  void whatCannotBeTheReferenceIsRefusedBeforeAnythingIsTouched() throws IOException {
    Cli first = run("LN12-001");
    assertThat(first.code()).isZero();
    Cli unknown = run("LN12-004", "--reference", "LN12-010");
    assertThat(unknown.code()).isEqualTo(2);
    assertThat(unknown.err())
        .contains("--reference: found \"LN12-010\"", "did you mean \"LN12-001\"?");
    Path broken = Files.writeString(folder.resolve("broken.json"), "{}");
    assertThat(run("LN12-004", "--reference", broken).err()).contains("--reference: found");
    Path other =
        Files.writeString(
            folder.resolve("other.json"),
            Files.readString(record(first)).replace("Linnet 12", "Wren 5"));
    Cli product = run("LN12-004", "--reference", other);
    assertThat(product.code()).isEqualTo(2);
    assertThat(product.err()).contains("plan.yaml:", "a Wren 5; expected a record of a Linnet 12");
    Files.writeString(plan, Files.readString(RunTest.firstPower(folder)));
    Cli unasked = run("LN12-004", "--reference", "LN12-001");
    assertThat(unasked.code()).isEqualTo(2);
    assertThat(unasked.err()).contains("but no step of the plan first power only asks for it");
  }
}
