package kitproof.driver.simulated;

import java.time.Instant;
import java.util.List;
import java.util.Set;
import kitproof.driver.Handling;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.SimulatedClock;
import kitproof.driver.Switcher;
import kitproof.driver.kit.FakeContext;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.SwitcherContract;

class SimulatedSwitcherTest extends SwitcherContract {
  private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  private final FakeContext context = new FakeContext(clock);
  private SimulatedRelays relays;

  @Override
  public List<Route> routes() {
    return Roles.ROUTES;
  }

  @Override
  public Switcher open() throws InstrumentException {
    SwitcherSettings settings =
        SwitcherSettings.read(Nodes.settings(Roles.switcherSettings()), routes());
    relays =
        new SimulatedRelays(Bench.of("linnet-12", context), settings, "LN12-001", Handling.UNTOLD);
    return RouteSwitcher.open(relays, routes(), clock);
  }

  @Override
  public Set<String> energisedAtTheFarSide() {
    return relays.energised();
  }
}
