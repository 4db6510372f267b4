package kitproof.cli;

import java.util.ArrayList;
import java.util.List;
import kitproof.driver.DriverProvider;
import kitproof.driver.Settings;
import kitproof.plan.Bench;
import kitproof.plugin.Drivers;

/** What a bench takes of this machine for itself, as its drivers say. */
final class BenchClaims {
  private BenchClaims() {}

  /** The claims of every role. */
  static List<String> of(Prepared prepared, Drivers drivers) {
    return of(prepared.bench(), drivers);
  }

  /** The claims of every role of a bench. */
  static List<String> of(Bench bench, Drivers drivers) {
    List<String> claims = new ArrayList<>();
    for (Bench.Role role : bench.roles().values()) {
      DriverProvider driver = drivers.byId().get(role.driver());
      if (driver != null) {
        claims.addAll(driver.claims(role.kind(), new Settings(role.settings())));
      }
    }
    return claims;
  }
}
