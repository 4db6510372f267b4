package kitproof.driver.audio;

import kitproof.driver.DriverProvider;
import kitproof.driver.kit.PackagedDriverContract;

class PackagedDriverIT extends PackagedDriverContract {
  @Override
  public DriverProvider provider() {
    return new AudioDriver();
  }
}
