package kitproof.run;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import kitproof.driver.DriverProvider;
import kitproof.driver.Settings;
import kitproof.plan.Bench;
import kitproof.value.Node;

/**
 * How long the readings of a bench's meters take at most, and the answers of its relay boards, as
 * far as their drivers can tell.
 */
final class ReadingTimes {
  private final Map<String, DriverProvider> drivers;

  ReadingTimes(Map<String, DriverProvider> drivers) {
    this.drivers = drivers;
  }

  /** Of one function, with asking the meter who it is; zero if that is not told. */
  Duration of(Bench.Role role, String function) {
    DriverProvider driver = drivers.get(role.driver());
    return driver == null
        ? Duration.ZERO
        : driver.readingTime(new Settings(role.settings()), function).orElse(Duration.ZERO);
  }

  /** How long a switcher waits for an answer of its board at most; zero if that is not told. */
  Duration answer(Bench.Role role) {
    DriverProvider driver = drivers.get(role.driver());
    return driver == null
        ? Duration.ZERO
        : driver.answerTime(new Settings(role.settings())).orElse(Duration.ZERO);
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
