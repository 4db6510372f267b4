package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import kitproof.document.YamlReader;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.limit.LimitFile;
import kitproof.plan.BenchReader;
import kitproof.plan.PlanReader;
import kitproof.value.Problem;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** Plans whose stated times a bench with a meter of 300 ms a reading can keep, or cannot. */
class OftenEnoughTest {
  private static class Slow implements DriverProvider {
    @Override
    public DriverDescription describe() {
      return new DriverDescription("fake", "fakes", Set.of(InstrumentKind.values()), List.of());
    }

    @Override
    public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
      var unused = answerTime(settings);
      return settings.problems();
    }

    @Override
    public Optional<Duration> readingTime(Settings settings, String function) {
      return Optional.of(Duration.ofMillis(300));
    }

    @Override
    public Optional<Duration> answerTime(Settings settings) {
      return Optional.of(settings.duration("timeout", Duration.ZERO));
    }

    @Override
    public Instrument open(InstrumentKind kind, Settings settings, BenchContext context) {
      throw new AssertionError("a check touches no hardware");
    }
  }

  private static List<String> found(String plan) {
    return found(plan, SmallFiles.BENCH);
  }

  private static List<String> found(String plan, String bench) {
    return found(plan, bench, new Slow());
  }

  private static List<String> found(String plan, String bench, DriverProvider driver) {
    return Preflight.check(
            YamlReader.read("plan.yaml", plan)
                .flatMap(source -> PlanReader.read(source, Path.of("plan.yaml")))
                .value(),
            YamlReader.read("bench.yaml", bench).flatMap(BenchReader::read).value(),
            LimitFile.read("limits.yaml", SmallFiles.LIMITS).value(),
            Map.of("fake", driver))
        .stream()
        .map(Problem::toString)
        .toList();
  }

  private static String interlock(String name, String within) {
    return "  - {interlock: "
        + name
        + ", meter: hv-meter, function: hv, high: 400 V, within: "
        + within
        + ", every: 300 ms}\n";
  }

  @Test
  void anInterlockWaitsForTheOthersOnItsMeterToo() {
    String plan = SmallFiles.PLAN + "interlocks:\n" + interlock("rail", "1400 ms");
    assertThat(found(plan)).isEmpty();
    assertThat(found(plan + interlock("other", "3 s")))
        .singleElement()
        .asString()
        .contains(
            "\"rail\" within 1400 ms, whose readings may be 1200 ms apart, on a bench whose relays"
                + " may need 260 ms to take the mains away; expected at least 1460 ms");
  }

  @Test
  void theWayOfTheCommandIsPartOfTheStatedTime() {
    String plan = SmallFiles.PLAN + "interlocks:\n";
    assertThat(found(plan + interlock("rail", "1159 ms")))
        .singleElement()
        .asString()
        .contains("900 ms apart")
        .endsWith("expected at least 1160 ms");
    assertThat(found(plan + interlock("rail", "1160 ms"))).isEmpty();
  }

  @Test
  void aDriveBoardThatMayHangIsWaitedForWhereTheMainsIsOnAnother() {
    String bench =
        SmallFiles.BENCH.replace(
            "      drive muted: ",
            "  drive-relays:\n    driver: fake\n    kind: switcher\n    routes:\n      drive muted: ");
    assertThat(bench).contains("drive-relays:");
    String plan = SmallFiles.PLAN + "interlocks:\n";
    // 500 ms of head start and three times the 20 ms that its relays settle
    assertThat(found(plan + interlock("rail", "1719 ms"), bench))
        .singleElement()
        .asString()
        .endsWith("may need 820 ms to take the mains away; expected at least 1720 ms");
    assertThat(found(plan + interlock("rail", "1720 ms"), bench)).isEmpty();
  }

  @Test
  void anAnswerThatIsLostInTheMomentOfATripIsPartOfTheStatedTime() {
    String bench =
        SmallFiles.BENCH.replaceFirst(
            "(?m)^    kind: switcher$", "    kind: switcher\n    settings: {timeout: 500 ms}");
    assertThat(bench).contains("timeout: 500 ms");
    String plan = SmallFiles.PLAN + "interlocks:\n";
    assertThat(found(plan + interlock("rail", "1659 ms"), bench))
        .singleElement()
        .asString()
        .endsWith(
            "may need 760 ms to take the mains away, 500 ms of them if an answer is lost just then;"
                + " expected at least 1660 ms");
    assertThat(found(plan + interlock("rail", "1660 ms"), bench)).isEmpty();
  }

  @Test
  void aDriverThatFailsWhenAskedIsNamedOnceForEachQuestion() {
    DriverProvider failing =
        new Slow() {
          @Override
          public Optional<Duration> readingTime(Settings settings, String function) {
            throw new IllegalStateException("no table of readings");
          }

          @Override
          public Optional<Duration> answerTime(Settings settings) {
            throw new IllegalStateException("no table of answers");
          }

          @Override
          public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
            return List.of();
          }
        };
    String plan =
        SmallFiles.PLAN.replace("    watch: 4 s\n", "    watch: 4 s\n    within: 250 ms\n")
            + "interlocks:\n"
            + interlock("rail", "3 s")
            + interlock("other", "3 s");
    assertThat(found(plan, SmallFiles.BENCH, failing))
        .satisfiesExactlyInAnyOrder(
            reading ->
                assertThat(reading)
                    .startsWith("bench.yaml:")
                    .contains("driver fake, which fails when it tells how long a reading takes: ")
                    .contains("no table of readings; expected a driver that works"),
            answer ->
                assertThat(answer)
                    .startsWith("bench.yaml:")
                    .contains("driver fake, which fails when it tells how long it waits for an")
                    .contains("no table of answers; expected a driver that works"));
  }

  @Test
  void aDriverThatCannotTellItsUnitIsNamed() {
    DriverProvider failing =
        new Slow() {
          @Override
          public Optional<Unit> unit(Settings settings, String function) {
            throw new IllegalStateException("no table of units");
          }
        };
    String plan = SmallFiles.PLAN + "interlocks:\n" + interlock("rail", "3 s");
    assertThat(found(plan, SmallFiles.BENCH, failing))
        .singleElement()
        .asString()
        .contains("driver fake, which fails when it tells in which unit it reads: ")
        .contains("no table of units; expected a driver that works");
  }

  @Test
  void aDriveBoardsAnswersDoNotHoldUpTheMainsOnAnother() {
    String bench =
        SmallFiles.BENCH.replace(
            "      drive muted: ",
            "  drive-relays:\n    driver: fake\n    kind: switcher\n"
                + "    settings: {timeout: 9 s}\n    routes:\n      drive muted: ");
    assertThat(bench).contains("timeout: 9 s");
    String plan = SmallFiles.PLAN + "interlocks:\n";
    assertThat(found(plan + interlock("rail", "1720 ms"), bench)).isEmpty();
  }

  @Test
  void aRiseIsNotReadFasterThanItsMeterReads() {
    String fast = "    watch: 4 s\n    within: 250 ms\n";
    assertThat(found(SmallFiles.PLAN.replace("    watch: 4 s\n", fast)))
        .singleElement()
        .asString()
        .contains(
            "found step first power that must see a fault within 250 ms, whose readings take up to"
                + " 300 ms; expected at least 300 ms");
    String slow = fast.replace("250 ms", "300 ms");
    assertThat(found(SmallFiles.PLAN.replace("    watch: 4 s\n", slow))).isEmpty();
  }
}
