package kitproof.driver.kit;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.File;
import java.util.jar.JarFile;
import kitproof.driver.DriverApi;
import kitproof.driver.DriverProvider;
import org.junit.jupiter.api.Test;

/** What holds for every driver's jar; for integration tests, which run on the packaged jar. */
public abstract class PackagedDriverContract {
  public abstract DriverProvider provider();

  @Test
  void theJarSaysWhichContractItIsMadeForAndNamesItsProvider() throws Exception {
    File jar =
        new File(provider().getClass().getProtectionDomain().getCodeSource().getLocation().toURI());
    assertThat(jar).as("the driver under test").isFile().hasExtension("jar");
    try (JarFile file = new JarFile(jar)) {
      assertThat(file.getManifest().getMainAttributes().getValue(DriverApi.ATTRIBUTE))
          .isEqualTo(String.valueOf(DriverApi.VERSION));
      assertThat(file.getEntry("META-INF/services/" + DriverProvider.class.getName())).isNotNull();
    }
  }
}
