package kitproof.driver.simulated;

import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.kit.MeterContract;
import org.junit.jupiter.api.BeforeEach;

class SimulatedMeterTest extends MeterContract {
  private final Roles roles = new Roles("LN12-001");

  @BeforeEach
  void aUnitIsOnTheBench() throws InstrumentException {
    roles.switcher();
  }

  @Override
  public Meter open() throws InstrumentException {
    return roles.meter();
  }
}
