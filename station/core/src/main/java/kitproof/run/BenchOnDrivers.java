package kitproof.run;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import kitproof.driver.DriverProvider;
import kitproof.driver.Settings;
import kitproof.plan.Bench;
import kitproof.plan.Places;
import kitproof.plan.TimeKind;
import kitproof.value.Problem;

/** A bench against the drivers that are there. */
final class BenchOnDrivers {
  private BenchOnDrivers() {}

  static List<Problem> check(Bench bench, Map<String, DriverProvider> drivers) {
    List<Problem> problems = new ArrayList<>();
    for (Bench.Role role : bench.roles().values()) {
      DriverProvider driver = drivers.get(role.driver());
      if (driver == null) {
        problems.add(
            Problem.unknownName(
                Places.of(role.source(), "driver"),
                "driver",
                role.driver(),
                new TreeSet<>(drivers.keySet())));
      } else if (!driver.describe().kinds().contains(role.kind())) {
        problems.add(
            Problem.of(
                Places.of(role.source(), "kind"),
                "kind " + role.kind(),
                "a kind that "
                    + role.driver()
                    + " opens: "
                    + String.join(
                        ", ", driver.describe().kinds().stream().map(Object::toString).toList())));
      } else {
        problems.addAll(settings(role, driver));
        if (bench.time() == TimeKind.SIMULATED && !driver.livesInBenchTime()) {
          problems.add(
              Problem.of(
                  Places.of(role.source(), "driver"),
                  "driver " + role.driver() + " in simulated time",
                  "time: real, or a driver that simulates"));
        }
      }
    }
    return problems;
  }

  private static List<Problem> settings(Bench.Role role, DriverProvider driver) {
    try {
      return driver.check(role.kind(), new Settings(role.settings()), role.routes());
    } catch (RuntimeException | LinkageError e) {
      return List.of(
          Problem.of(
              Places.of(role.source(), "driver"),
              "driver " + role.driver() + ", which fails when it checks its settings: " + e,
              "a driver that works"));
    }
  }
}
