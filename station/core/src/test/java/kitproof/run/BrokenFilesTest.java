package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Stream;
import kitproof.document.Parsed;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.limit.LimitFile;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.procedure.Procedures;
import kitproof.value.Location;
import kitproof.value.Problem;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Plans, benches and limits that are wrong in one way each (some in several), beside good ones of
 * the other kinds: every message, word for word, all at once, none twice.
 */
class BrokenFilesTest {
  private record StubDriver(Set<InstrumentKind> kinds) implements DriverProvider {
    @Override
    public DriverDescription describe() {
      return new DriverDescription("stub", "for these tests", kinds, List.of());
    }

    @Override
    public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
      if (kind == InstrumentKind.METER) {
        settings.parts("functions");
      }
      return settings.problems();
    }

    @Override
    public Optional<Unit> unit(Settings settings, String function) {
      return Optional.of(Unit.VOLT);
    }

    @Override
    public Instrument open(InstrumentKind kind, Settings settings, BenchContext context) {
      throw new AssertionError("a check touches no hardware");
    }
  }

  private static final Map<String, DriverProvider> DRIVERS =
      Map.of(
          "fake", new StubDriver(Set.of(InstrumentKind.values())),
          "relays-only", new StubDriver(Set.of(InstrumentKind.SWITCHER)));

  private static final Location NOWHERE = new Location("nowhere", 1, 1);

  private static Path resource(String name) throws Exception {
    return Path.of(Objects.requireNonNull(BrokenFilesTest.class.getResource(name)).toURI());
  }

  private static Path orGood(Path file, String kind) throws Exception {
    boolean broken = file.getFileName().toString().startsWith(kind);
    return broken ? file : resource("good/" + kind + ".yaml");
  }

  /** As the program does it: the files first, then one against the other. */
  private static List<Problem> problems(Path file) throws Exception {
    Parsed<Plan> plan = PlanReader.read(orGood(file, "plan"));
    Parsed<Bench> bench = BenchReader.read(orGood(file, "bench"));
    Parsed<LimitFile> limits = LimitFile.read(orGood(file, "limits"));
    List<Problem> problems = new ArrayList<>();
    problems.addAll(plan.problems());
    problems.addAll(bench.problems());
    problems.addAll(limits.problems());
    return problems.isEmpty()
        ? Preflight.check(plan.value(), bench.value(), limits.value(), DRIVERS)
        : problems;
  }

  /** Messages without the folder. */
  private static List<String> messages(Path file) throws Exception {
    return problems(file).stream()
        .map(p -> p.toString().replaceAll("^.*[/\\\\]([a-z-]+\\.yaml)", "$1"))
        .toList();
  }

  private record Broken(String name, List<String> messages) {
    @Override
    public String toString() {
      return name;
    }
  }

  /** The names as a message tells them, which of many are only the first ones. */
  private static String namedIn(Problem problem) {
    return problem.expected().replaceFirst("^one of ", "");
  }

  /** The table: a file's name on a line, its messages below. */
  static Stream<Broken> table() throws Exception {
    List<Broken> table = new ArrayList<>();
    String ids = namedIn(Problem.unknownName(NOWHERE, "procedure", "", Procedures.ids()));
    for (String line : Files.readAllLines(resource("broken/messages.txt"))) {
      if (line.endsWith(".yaml")) {
        table.add(new Broken(line, new ArrayList<>()));
      } else if (!line.isBlank()) {
        table.get(table.size() - 1).messages.add(line.strip().replace("{procedures}", ids));
      }
    }
    return table.stream();
  }

  @ParameterizedTest(name = "{0}")
  @MethodSource("table")
  void aBrokenFileIsToldWithAllItsProblems(Broken broken) throws Exception {
    List<String> messages = messages(resource("broken/" + broken.name));
    assertThat(messages).doesNotHaveDuplicates();
    assertThat(messages).containsExactlyElementsOf(broken.messages).isNotEmpty();
  }

  @Test
  void everyBrokenFileIsInTheTable() throws Exception {
    try (Stream<Path> files = Files.list(resource("broken"))) {
      assertThat(files.map(f -> f.getFileName().toString()).filter(f -> f.endsWith(".yaml")))
          .containsExactlyInAnyOrderElementsOf(table().map(Broken::name).toList());
    }
  }

  @Test
  void theShippedPlanFitsItsBenchAndItsLimits() {
    Path examples = Path.of("..", "examples", "linnet-12");
    Plan plan = PlanReader.read(examples.resolve("plan.yaml")).value();
    Bench bench = BenchReader.read(examples.resolve("bench-simulated.yaml")).value();
    assertThat(PlanOnBench.check(plan, bench)).isEmpty();
    assertThat(Preflight.limits(LimitFile.read(plan.limits()).value(), plan)).isEmpty();
  }

  @Test
  void theGoodFilesHaveNothingWrong() throws Exception {
    assertThat(messages(resource("good/plan.yaml"))).isEmpty();
  }
}
