package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import kitproof.batch.Linnets;
import kitproof.event.Verdict;
import kitproof.value.Uncertainty;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The command that judges stored results by other limits. */
class RejudgeTest {
  @TempDir Path folder;
  private Path records;
  private List<Path> documents;

  /** Under the old limits of 25 to 27 dB the first and the second pass, the third fails. */
  @BeforeEach
  void keepABatch() throws IOException {
    records = folder.resolve("records");
    Linnets linnets = new Linnets(records);
    documents =
        List.of(
            linnets.run("pilot", 1, 26, -0.5),
            linnets.run("pilot", 2, 25.2, -0.5),
            linnets.run("pilot", 3, 27.2, -0.5),
            linnets.run("pilot", 4, 26, -0.5, Verdict.ABORTED));
  }

  private Path limits(String name, String product, String rows) throws IOException {
    return Files.writeString(
        folder.resolve(name),
        "limits: "
            + name
            + "\nproduct: "
            + product
            + "\nrevision: B\nrule: simple acceptance\njudge:\n"
            + rows);
  }

  private Path moved() throws IOException {
    return limits("moved.yaml", "Linnet 12", "  - {result: gain, low: 25.5 dB, high: 27.5 dB}\n");
  }

  private Cli rejudge(Object... arguments) {
    return Cli.run(
        Stream.of(new Object[] {"rejudge", "--records", records}, arguments)
            .flatMap(Stream::of)
            .toArray());
  }

  @Test
  void whoWouldChangeAndWhy() throws IOException {
    Cli cli = rejudge("--limits", moved(), "--batch", "pilot");
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.out())
        .contains("2 of 4 runs would change")
        .contains("LN12-002: pass -> fail")
        .contains("gain (mode triode, tap 8 ohm): pass -> fail, 25.2 dB is below 25.5 dB")
        .contains("LN12-003: fail -> pass")
        .contains("gain (mode triode, tap 8 ohm): fail -> pass, 25.5 dB to 27.5 dB")
        .doesNotContain("LN12-001", "LN12-004");
    assertThat(records.resolve("rejudged")).doesNotExist();
  }

  @Test
  void aLimitThatNothingMetLeavesTheVerdictOpen() throws IOException {
    Path more =
        limits(
            "more.yaml",
            "Linnet 12",
            "  - {result: gain, low: 20 dB}\n  - {result: hum, high: 1 mV}\n");
    JsonNode runs = rejudge("--limits", more, "--json").json().get("runs");
    assertThat(runs).hasSize(4);
    assertThat(runs.get(0).get("after").isNull()).isTrue();
    assertThat(runs.get(0).get("why").textValue())
        .isEqualTo("nothing was measured for the limit of hum");
    assertThat(runs.get(3).get("after").textValue()).isEqualTo("aborted");
  }

  @Test
  void newJudgementsAreKeptBesideTheOldOnlyWhenTold() throws IOException {
    List<String> before = documents.stream().map(RejudgeTest::text).toList();
    Path limits = moved();
    Cli cli = rejudge("--limits", limits, "--write");
    assertThat(cli.out()).contains("new judgements kept: 4");
    List<Path> kept;
    try (Stream<Path> files = Files.list(records.resolve("rejudged"))) {
      kept = files.sorted().toList();
    }
    assertThat(kept).hasSize(4).allMatch(f -> f.toString().endsWith(".json"));
    JsonNode second = new ObjectMapper().readTree(text(kept.get(1)));
    assertThat(second.get("unit").textValue()).isEqualTo("LN12-002");
    assertThat(second.get("before").textValue()).isEqualTo("pass");
    assertThat(second.get("after").textValue()).isEqualTo("fail");
    assertThat(second.get("digest").textValue()).isEqualTo(Digest.of(limits));
    assertThat(second.at("/results/0/after/outcome").textValue()).isEqualTo("fail");
    assertThat(second.at("/results/0/before/outcome").textValue()).isEqualTo("pass");
    String first = text(kept.get(0));
    assertThat(rejudge("--limits", limits, "--write").out())
        .contains("new judgements kept: 0; 4 were there already");
    assertThat(text(kept.get(0))).isEqualTo(first);
    assertThat(documents.stream().map(RejudgeTest::text).toList())
        .as("untouched")
        .isEqualTo(before);
    assertThat(Cli.run("batch", "pilot", "--records", records).err()).isEmpty();
  }

  @Test
  void proposedLimitsShowWhatTheyWouldChangeButNothingIsKept() throws IOException {
    Path limits = moved();
    Files.writeString(
        limits, Files.readString(limits).replace("judge:", "signed-off-by: nobody\njudge:"));
    assertThat(rejudge("--limits", limits).out()).contains("2 of 4 runs would change");
    Cli cli = rejudge("--limits", limits, "--write");
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("moved.yaml:5:", "limits that nobody has signed off");
    assertThat(cli.out()).isEmpty();
    assertThat(records.resolve("rejudged")).doesNotExist();
  }

  private static String text(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      throw new AssertionError(e);
    }
  }

  private Path guarded(String rows) throws IOException {
    Path file = limits("guarded.yaml", "Linnet 12", rows);
    return Files.writeString(
        file, Files.readString(file).replace("simple acceptance", "guarded acceptance"));
  }

  @Test
  void underGuardedAcceptanceWhoeverIsTooNearALimitChanges() throws IOException {
    Path known = folder.resolve("known");
    // 95 % on one side of a normal distribution is 1.645 standard deviations (NIST/SEMATECH
    // e-Handbook, table of the normal distribution): the guard band is 0.329 dB wide
    Linnets linnets =
        new Linnets(known).known(Uncertainty.of(0.2, 0.2, Double.POSITIVE_INFINITY, List.of()));
    linnets.run("pilot", 1, 26, -0.5);
    linnets.run("pilot", 2, 25.3, -0.5);
    linnets.run("pilot", 3, 25.34, -0.5);
    linnets.run("pilot", 4, 27.1, -0.5);
    Path limits = guarded("  - {result: gain, low: 25 dB, high: 27.5 dB}\n");
    Cli cli = Cli.run("rejudge", "--records", known, "--limits", limits);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.out())
        .contains("2 of 4 runs would change")
        .contains("LN12-002: pass -> fail")
        .contains("gain (mode triode, tap 8 ohm): pass -> in the guard band, 25.3 dB")
        .contains("LN12-004: fail -> pass")
        .doesNotContain("LN12-001", "LN12-003");
  }

  @Test
  void withoutAnUncertaintyGuardedAcceptanceLeavesTheVerdictOpen() throws IOException {
    Path limits =
        guarded(
            "  - {result: gain, low: 25 dB, high: 27 dB}\n"
                + "  - {result: cathode voltage, low: 8 V, high: 10 V}\n");
    Cli cli = rejudge("--limits", limits);
    assertThat(cli.code()).as(cli.err()).isZero();
    assertThat(cli.out())
        .contains("2 of 4 runs would change")
        .contains(
            "LN12-001: pass -> open, gain (mode triode, tap 8 ohm) cannot be judged under guarded"
                + " acceptance: no uncertainty, and 1 more like it")
        .contains("LN12-002: pass -> open")
        .as("what is outside of the limit itself is so however well it is known")
        .doesNotContain("LN12-003", "LN12-004");
    JsonNode runs = rejudge("--limits", limits, "--json", "--write").json();
    assertThat(runs.at("/runs/2/after").textValue()).isEqualTo("fail");
    assertThat(runs.at("/runs/0/after").isNull()).isTrue();
    assertThat(runs.at("/runs/0/results")).isEmpty();
    JsonNode kept = new ObjectMapper().readTree(text(Path.of(runs.at("/written/0").textValue())));
    assertThat(kept.at("/results/0/after/outcome").textValue()).isEqualTo("not judged");
    assertThat(kept.at("/results/0/after/detail").textValue()).endsWith("no uncertainty");
    assertThat(kept.at("/results/1/after/detail").textValue()).isEqualTo("there is no limit");
  }

  @Test
  void limitsOfAnotherProductJudgeNothing() throws IOException {
    Path other = limits("other.yaml", "Wren 3", "  - {result: gain, low: 20 dB}\n");
    assertThat(rejudge("--limits", other).out())
        .contains("0 of 0 runs would change")
        .contains("the limits are for Wren 3 B, the unit is a Linnet 12 B");
  }

  @Test
  void brokenLimitsAreToldWithTheirPlace() throws IOException {
    Path broken = limits("broken.yaml", "Linnet 12", "  - {result: gain, low: 20 quarts}\n");
    Cli cli = rejudge("--limits", broken);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("broken.yaml:6:");
  }
}
