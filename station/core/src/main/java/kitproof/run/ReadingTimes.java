package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.BiFunction;
import kitproof.driver.DriverProvider;
import kitproof.driver.Settings;
import kitproof.plan.Bench;
import kitproof.plan.Places;
import kitproof.value.Node;
import kitproof.value.Problem;
import kitproof.value.Unit;

/**
 * How long the readings of a bench's meters take at most, and the answers of its relay boards, and
 * in which units they are, as far as their drivers can tell.
 */
final class ReadingTimes {
  private final Map<String, DriverProvider> drivers;
  private final Set<Problem> problems = new LinkedHashSet<>();

  ReadingTimes(Map<String, DriverProvider> drivers) {
    this.drivers = drivers;
  }

  /** Of drivers that failed when they were asked; each once, however often it was. */
  List<Problem> problems() {
    return new ArrayList<>(problems);
  }

  /** Of one function, with asking the meter who it is; zero if that is not told. */
  Duration of(Bench.Role role, String function) {
    return told(
            role,
            "how long a reading takes",
            (driver, settings) -> driver.readingTime(settings, function))
        .orElse(Duration.ZERO);
  }

  /** How long a switcher waits for an answer of its board at most; zero if that is not told. */
  Duration answer(Bench.Role role) {
    return told(role, "how long it waits for an answer", DriverProvider::answerTime)
        .orElse(Duration.ZERO);
  }

  /** Of a meter's function; empty if that is not told. */
  Optional<Unit> unit(Bench.Role role, String function) {
    return told(
        role, "in which unit it reads", (driver, settings) -> driver.unit(settings, function));
  }

  private <T> Optional<T> told(
      Bench.Role role, String what, BiFunction<DriverProvider, Settings, Optional<T>> question) {
    DriverProvider driver = drivers.get(role.driver());
    if (driver == null) {
      return Optional.empty();
    }
    try {
      return question.apply(driver, new Settings(role.settings()));
    } catch (RuntimeException | LinkageError e) {
      problems.add(
          Problem.of(
              Places.of(role.source(), "driver"),
              "driver " + role.driver() + ", which fails when it tells " + what + ": " + e,
              "a driver that works"));
      return Optional.empty();
    }
  }

  /** Of the slowest function that the meter declares; of this one if it declares none. */
  Duration longest(Bench.Role role, String function) {
    return functions(role).stream()
        .map(each -> of(role, each))
        .max(Duration::compareTo)
        .orElse(of(role, function));
  }

  /** Meters declare their functions by name in the section "functions" of their settings. */
  static List<String> functions(Bench.Role role) {
    return role.settings().get("functions").orElse(null) instanceof Node.Mapping functions
        ? functions.entries().stream().map(Node.Entry::key).toList()
        : List.of();
  }
}
