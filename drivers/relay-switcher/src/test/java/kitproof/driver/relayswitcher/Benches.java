package kitproof.driver.relayswitcher;

import java.util.Map;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Switcher;
import kitproof.driver.kit.FakeContext;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.RealClock;
import kitproof.driver.kit.SwitcherContract;

/** Opens the driver in real time as a bench does. */
final class Benches {
  private Benches() {}

  static Switcher open(Map<String, Object> settings) throws InstrumentException {
    return (Switcher)
        new RelaySwitcherProvider()
            .open(
                InstrumentKind.SWITCHER,
                Nodes.settings(settings),
                new FakeContext(new RealClock()).routes(SwitcherContract.ROUTES));
  }
}
