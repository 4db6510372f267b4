package kitproof.driver.relayswitcher;

import kitproof.driver.DriverProvider;
import kitproof.driver.kit.PackagedDriverContract;

class RelaySwitcherPackageIT extends PackagedDriverContract {
  @Override
  public DriverProvider provider() {
    return new RelaySwitcherProvider();
  }
}
