package kitproof.interlock;

import java.time.Duration;
import java.util.Set;
import kitproof.driver.Route;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** An interlock on the HV rail: no more than 400 V while mains is direct. */
final class HvRail {
  private HvRail() {}

  /** One whose reading must never be older. */
  static Interlock within(Duration within) {
    return new Interlock(
        Location.of("plan.yaml"),
        "HV rail",
        "hv-meter",
        "hv",
        null,
        Quantity.of(400, Unit.VOLT),
        within,
        Duration.ofMillis(100),
        Duration.ZERO,
        Set.of(Route.Purpose.MAINS_DIRECT),
        Conditions.NONE,
        0,
        9,
        null);
  }
}
