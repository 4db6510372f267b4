package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.driver.DriverProvider;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.interlock.Interlock;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.value.Node;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * A plan's interlocks against the bench: whether their meters are there, and whether these can read
 * as often as the stated times ask for.
 */
final class InterlocksOnBench {
  private final Bench bench;
  private final Map<String, DriverProvider> drivers;
  private final List<Problem> problems = new ArrayList<>();

  private InterlocksOnBench(Bench bench, Map<String, DriverProvider> drivers) {
    this.bench = bench;
    this.drivers = drivers;
  }

  static List<Problem> check(Plan plan, Bench bench, Map<String, DriverProvider> drivers) {
    InterlocksOnBench check = new InterlocksOnBench(bench, drivers);
    plan.interlocks().forEach(check::meter);
    return check.problems;
  }

  private Duration readingTime(Bench.Role role, String function) {
    DriverProvider driver = drivers.get(role.driver());
    return driver == null
        ? Duration.ZERO
        : driver.readingTime(new Settings(role.settings()), function).orElse(Duration.ZERO);
  }

  /** Meters declare their functions by name in the section "functions" of their settings. */
  private static List<String> functions(Bench.Role role) {
    return role.settings().get("functions").orElse(null) instanceof Node.Mapping functions
        ? functions.entries().stream().map(Node.Entry::key).toList()
        : List.of();
  }

  private void meter(Interlock interlock) {
    Bench.Role role = bench.roles().get(interlock.meter());
    if (role == null || role.kind() != InstrumentKind.METER) {
      problems.add(
          Problem.unknownName(
              interlock.location(),
              InstrumentKind.METER + " role",
              interlock.meter(),
              bench.roles().values().stream()
                  .filter(r -> r.kind() == InstrumentKind.METER)
                  .map(Bench.Role::name)
                  .toList()));
      return;
    }
    List<String> functions = functions(role);
    if (!functions.isEmpty() && !functions.contains(interlock.function())) {
      problems.add(
          Problem.unknownName(
              interlock.location(),
              interlock.meter() + " function",
              interlock.function(),
              functions));
      return;
    }
    unit(interlock, role);
    feasible(interlock, role);
  }

  /** A band in another unit than the readings would trip at the first of them. */
  private void unit(Interlock interlock, Bench.Role role) {
    DriverProvider driver = drivers.get(role.driver());
    Unit unit =
        driver == null
            ? null
            : driver.unit(new Settings(role.settings()), interlock.function()).orElse(null);
    if (unit != null && !interlock.isIn(unit)) {
      problems.add(
          Problem.of(
              interlock.location(), interlock.inAnotherUnit(unit), Quantity.expectation(unit)));
    }
  }

  /**
   * The reading after the last good one begins {@code every} later, may have to wait for a step's
   * reading of the same meter, of whatever function, then takes its own time; relays that are just
   * being switched hold up the command.
   */
  private void feasible(Interlock interlock, Bench.Role role) {
    Duration reading = readingTime(role, interlock.function());
    Duration waiting =
        functions(role).stream()
            .map(function -> readingTime(role, function))
            .max(Duration::compareTo)
            .orElse(reading);
    Duration needed = interlock.every().plus(waiting).plus(reading);
    if (interlock.oldest().compareTo(needed) < 0) {
      problems.add(
          Problem.of(
              interlock.location(),
              "interlock \""
                  + interlock.name()
                  + "\" within "
                  + interlock.within().toMillis()
                  + " ms, whose readings may be "
                  + needed.toMillis()
                  + " ms apart",
              "at least " + needed.multipliedBy(10).dividedBy(9).plusMillis(1).toMillis() + " ms"));
    }
    Duration settle =
        bench.routes().stream().map(Route::settle).max(Duration::compareTo).orElse(Duration.ZERO);
    if (interlock.within().compareTo(settle.multipliedBy(2)) <= 0) {
      problems.add(
          Problem.of(
              interlock.location(),
              "interlock \""
                  + interlock.name()
                  + "\" within "
                  + interlock.within().toMillis()
                  + " ms on a bench whose relays settle in up to "
                  + settle.toMillis()
                  + " ms",
              "more than twice that: mains off has to wait for relays that are being switched"));
    }
  }
}
