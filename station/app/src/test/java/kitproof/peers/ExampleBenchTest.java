package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import kitproof.document.Parsed;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The example of a bench on serial ports, whose instruments no machine that tests it has. */
class ExampleBenchTest {
  private static final Path EXAMPLES = Path.of("..", "examples", "linnet-12");
  private static final Path BENCH = EXAMPLES.resolve("bench-serial.yaml");
  @TempDir private Path folder;

  @Test
  @DisplayName("The Linnet 12 plan is good on the bench on serial ports, without its hardware")
  void good() throws Exception {
    List<String> check =
        List.of("check", EXAMPLES.resolve("plan.yaml").toString(), BENCH.toString());
    try (Program program = Program.start(folder, check)) {
      assertThat(program.exitCode()).as(program.printed()).isZero();
      assertThat(program.printed()).contains("2 files: good");
    }
  }

  @Test
  @DisplayName("It has the routes of the simulated bench, with times that real relays need")
  void sameRoutes() {
    List<Route> simulated = routes(EXAMPLES.resolve("bench-simulated.yaml"));
    assertThat(simulated).isNotEmpty();
    assertThat(routes(BENCH))
        .allMatch(route -> route.settle().compareTo(Duration.ofMillis(30)) >= 0)
        .usingRecursiveFieldByFieldElementComparatorIgnoringFields("settle")
        .isEqualTo(simulated);
  }

  @Test
  @DisplayName("On both, routes that lead to one resistor share its heat")
  void sameResistors() {
    Bench simulated = bench(EXAMPLES.resolve("bench-simulated.yaml"));
    assertThat(simulated.ratings())
        .hasEntrySatisfying(
            "left 8 ohm tap, second load",
            rating -> assertThat(rating.resistor()).isEqualTo("left 8 ohm"));
    assertThat(simulated.ratings()).isEqualTo(bench(BENCH).ratings());
  }

  private static List<Route> routes(Path bench) {
    return bench(bench).routes();
  }

  private static Bench bench(Path file) {
    Parsed<Bench> parsed = BenchReader.read(file);
    assertThat(parsed.problems()).isEmpty();
    return parsed.value();
  }
}
