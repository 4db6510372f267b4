package kitproof.driver.serialmeter;

import kitproof.driver.DriverProvider;
import kitproof.driver.kit.PackagedDriverContract;

class SerialMeterPackageIT extends PackagedDriverContract {
  @Override
  public DriverProvider provider() {
    return new SerialMeterProvider();
  }
}
