package kitproof.driver.simulated;

import kitproof.driver.DriverProvider;
import kitproof.driver.kit.PackagedDriverContract;

class PackagedSimulatedBenchIT extends PackagedDriverContract {
  @Override
  public DriverProvider provider() {
    return new SimulatedBenchProvider();
  }
}
