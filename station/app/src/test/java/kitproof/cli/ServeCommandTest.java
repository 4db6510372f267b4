package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ServeCommandTest {
  private static final Path PLAN = Cli.example("plan.yaml");
  private static final Path BENCH = Cli.example("bench-simulated.yaml");

  @TempDir Path folder;

  @Test
  void helpSaysWhoMayStartARunAndWhatATokenIsFor() {
    Cli cli = Cli.run("serve", "--help");
    assertThat(cli.code()).isZero();
    assertThat(cli.out())
        .contains("A run is started and driven at the bench, by its operator")
        .contains("KITPROOF_SERVE_TOKEN");
    assertThat(cli.out().lines()).allMatch(l -> l.length() <= 100);
  }

  @ParameterizedTest
  @CsvSource({
    "--listen, 0.0.0.0, a token",
    "--port, 70000, a port",
    "--controls, tablet, a numeric address",
    "--key, no-such-key.pem, both",
    "--broker, http://broker, a broker address",
    "--pace, 0, 0.1 to 1000",
    "--batch-size, 12, the batch that has this size",
    "--batch-size, 0, 1 to 1000000",
  })
  void badInputIsToldBeforeAnythingIsOpened(String option, String value, String expected) {
    Cli cli =
        Cli.run("serve", PLAN, "--bench", BENCH, "--records", folder.resolve("r"), option, value);
    assertThat(cli.code()).isEqualTo(2);
    assertThat(cli.err()).contains("expected").contains(expected);
    assertThat(folder.resolve("r")).doesNotExist();
  }

  @Test
  void aBrokenBenchAndAFolderWithoutPlansAreBadInput() throws IOException {
    Path bench = folder.resolve("bench.yaml");
    Files.writeString(bench, Files.readString(BENCH).replace("kind: switcher", "kind: switsher"));
    Cli broken = Cli.run("serve", PLAN, "--bench", bench);
    assertThat(broken.code()).isEqualTo(2);
    assertThat(broken.err()).contains("bench.yaml:").contains("did you mean \"switcher\"?");
    Cli empty = Cli.run("serve", folder, "--bench", BENCH);
    assertThat(empty.code()).isEqualTo(2);
    assertThat(empty.err()).contains("found no plan in");
  }

  @Test
  void aReferenceThatNoPlanAsksForIsBadInputAsWithRun() throws IOException {
    Path gauge = Cli.example("gauge-plan.yaml");
    Cli one = compared(gauge);
    assertThat(one.code()).isEqualTo(2);
    assertThat(one.err())
        .contains("--reference: found \"LN12-001\", but no step of the plan ")
        .contains("expected a plan with a comparison");
    Cli two = compared(gauge, Cli.example("selfcheck.yaml"));
    assertThat(two.code()).isEqualTo(2);
    assertThat(two.err()).contains("but no step of the 2 plans to choose from asks for it");
    assertThat(folder.resolve("r")).doesNotExist();
    // One that asks for it is enough; the next thing that is wrong is told then.
    assertThat(compared(gauge, PLAN).err()).doesNotContain("--reference").contains("--pace");
  }

  /** With a pace that is refused, lest it goes on serving. */
  private Cli compared(Path... plans) {
    Object[] usual = {"--bench", BENCH, "--records", folder.resolve("r"), "--pace", "0"};
    Object[] reference = {"--reference", "LN12-001"};
    return Cli.run(
        Stream.of(new Object[] {"serve"}, plans, usual, reference).flatMap(Stream::of).toArray());
  }
}
