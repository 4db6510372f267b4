package kitproof.architecture;

import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.util.List;
import kitproof.peer.Alone;
import kitproof.peer.SoundServer;
import org.junit.jupiter.api.Test;

/** What plays sound in real time has the machine to itself, however many tests go side by side. */
class AloneTest {
  private static final List<JavaClass> TESTS =
      new ClassFileImporter()
              .withImportOption(ImportOption.Predefined.ONLY_INCLUDE_TESTS)
              .importPackages("kitproof")
              .stream()
              .filter(c -> c.getSimpleName().endsWith("IT"))
              .toList();

  @Test
  void eachTestThatHasASoundServerIsAlone() {
    List<JavaClass> sounding = TESTS.stream().filter(AloneTest::sounds).toList();
    assertThat(sounding).hasSizeGreaterThan(5);
    assertThat(sounding).allMatch(test -> test.isAnnotatedWith(Alone.class));
  }

  private static boolean sounds(JavaClass test) {
    return test.getTransitiveDependenciesFromSelf().stream()
        .anyMatch(d -> d.getTargetClass().getName().equals(SoundServer.class.getName()));
  }
}
