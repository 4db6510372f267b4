package kitproof.driver.simulated;

import kitproof.driver.AudioInterface;
import kitproof.driver.InstrumentException;
import kitproof.driver.kit.AudioInterfaceContract;
import org.junit.jupiter.api.BeforeEach;

class SimulatedAudioTest extends AudioInterfaceContract {
  private final Roles roles = new Roles("LN12-001");

  @BeforeEach
  void aUnitIsOnTheBench() throws InstrumentException {
    roles.switcher();
  }

  @Override
  public AudioInterface open() throws InstrumentException {
    return roles.audio();
  }
}
