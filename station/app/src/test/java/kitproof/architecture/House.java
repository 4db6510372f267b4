package kitproof.architecture;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.util.Set;

/** The program's own classes, drivers included, and the names of its parts. */
final class House {
  /** Everything of ours on the class path but tests; the kit for tests is looked at apart. */
  static final JavaClasses ALL =
      new ClassFileImporter()
          .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
          .withImportOption(location -> !location.contains("contract-kit"))
          .importPackages("kitproof");

  static final String[] PLUGINS = {
    "kitproof.driver.serialmeter..",
    "kitproof.driver.relayswitcher..",
    "kitproof.driver.audio..",
    "kitproof.driver.simulated.."
  };
  static final String[] DRIVERS = {
    "kitproof.driver.serial..",
    "kitproof.driver.serialmeter..",
    "kitproof.driver.relayswitcher..",
    "kitproof.driver.audio..",
    "kitproof.driver.simulated.."
  };
  static final String[] CORE = {
    "kitproof.calibration..",
    "kitproof.plan..",
    "kitproof.interlock..",
    "kitproof.procedure..",
    "kitproof.event..",
    "kitproof.operator..",
    "kitproof.run.."
  };
  static final Set<String> APP =
      Set.of(
          "plugin",
          "journal",
          "selfcheck",
          "mqtt",
          "console",
          "plot",
          "report",
          "guide",
          "store",
          "board",
          "web",
          "screen",
          "batch",
          "gauge",
          "cli");

  private House() {}

  /** Ours, in a package that is none of these. */
  static DescribedPredicate<JavaClass> oursOutside(String... packages) {
    return JavaClass.Predicates.resideInAPackage("kitproof..")
        .and(
            DescribedPredicate.not(JavaClass.Predicates.resideInAnyPackage(packages))
                .as("outside %s", String.join(", ", packages)));
  }
}
