package kitproof.architecture;

import static com.tngtech.archunit.core.domain.JavaClass.Predicates.resideInAnyPackage;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.core.domain.JavaClass;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Who may know whom. */
class ArrowsTest {
  @Test
  void everyPartIsLookedAt() {
    // Without this an import that finds nothing would let every rule below pass.
    assertThat(House.ALL).hasSizeGreaterThan(300);
    assertThat(House.ALL.stream().map(JavaClass::getPackageName).collect(Collectors.toSet()))
        .containsExactlyInAnyOrder(
            "kitproof.value",
            "kitproof.driver",
            "kitproof.document",
            "kitproof.signal",
            "kitproof.uncertainty",
            "kitproof.wav",
            "kitproof.limit",
            "kitproof.limit.statistics",
            "kitproof.cause",
            "kitproof.driver.serial",
            "kitproof.driver.serialmeter",
            "kitproof.driver.relayswitcher",
            "kitproof.driver.audio",
            "kitproof.driver.simulated",
            "kitproof.driver.simulated.unit",
            "kitproof.calibration",
            "kitproof.plan",
            "kitproof.interlock",
            "kitproof.procedure",
            "kitproof.event",
            "kitproof.operator",
            "kitproof.run",
            "kitproof.plugin",
            "kitproof.address",
            "kitproof.journal",
            "kitproof.mqtt",
            "kitproof.console",
            "kitproof.plot",
            "kitproof.report",
            "kitproof.guide",
            "kitproof.batch",
            "kitproof.gauge",
            "kitproof.store",
            "kitproof.board",
            "kitproof.web",
            "kitproof.screen",
            "kitproof.selfcheck",
            "kitproof.cli");
  }

  @Test
  void noPackageDependsOnItselfThroughOthers() {
    slices().matching("kitproof.(**)").should().beFreeOfCycles().check(House.ALL);
  }

  @Test
  void theContractNeedsTheJdkOnly() {
    onlyOn("kitproof.value", "java..", "org.jspecify..");
    onlyOn("kitproof.driver", "java..", "org.jspecify..", "kitproof.value");
  }

  @Test
  void signalAnalysisIsPure() {
    onlyOn(
        "kitproof.signal",
        "kitproof.value",
        "org.jtransforms..",
        "pl.edu.icm.jlargearrays",
        "org.visnow.jlargearrays",
        "org.apache.commons.math3..",
        "java.lang..",
        "java.util",
        "java.util.function",
        "java.util.stream",
        "org.jspecify..");
  }

  @Test
  void uncertaintyIsPure() {
    onlyOn(
        "kitproof.uncertainty",
        "kitproof.value",
        "org.apache.commons.math3..",
        "java.lang..",
        "java.math",
        "java.util",
        "java.util.function",
        "java.util.regex",
        "java.util.stream",
        "org.jspecify..");
  }

  @Test
  void aCalibrationKnowsNoInstrumentsPlansOrLimits() {
    onlyOn(
        "kitproof.calibration",
        "kitproof.value",
        "kitproof.document",
        "kitproof.uncertainty",
        "java.lang..",
        "java.math",
        "java.util..",
        "java.time",
        "java.nio.file",
        "org.jspecify..");
  }

  @Test
  void limitsKnowNoDriversAndNoInputOrOutputOfTheirOwn() {
    onlyOn(
        "kitproof.limit",
        "kitproof.value",
        "kitproof.document",
        "kitproof.uncertainty",
        "java.lang..",
        "java.util..",
        "java.nio.file",
        "org.jspecify..");
  }

  @Test
  void probableCausesArePureToo() {
    onlyOn(
        "kitproof.cause",
        "kitproof.value",
        "kitproof.document",
        "kitproof.limit",
        "java.lang..",
        "java.util..",
        "java.nio.file",
        "org.jspecify..");
  }

  @Test
  void statisticsArePure() {
    onlyOn(
        "kitproof.limit.statistics",
        "org.apache.commons.math3..",
        "org.jgrapht..",
        "java.lang..",
        "java.util..",
        "org.jspecify..");
  }

  @Test
  void documentsAndWavFilesStandOnTheContractAlone() {
    noClasses()
        .that()
        .resideInAnyPackage("kitproof.document..", "kitproof.wav..")
        .should()
        .dependOnClassesThat(
            House.oursOutside(
                "kitproof.document", "kitproof.wav", "kitproof.value", "kitproof.driver"))
        .check(House.ALL);
    noClasses()
        .that()
        .resideInAPackage("kitproof.wav..")
        .should()
        .dependOnClassesThat(House.oursOutside("kitproof.wav", "kitproof.value"))
        .check(House.ALL);
  }

  @ParameterizedTest
  @ValueSource(strings = {"serial", "serialmeter", "relayswitcher", "audio", "simulated"})
  void aDriverKnowsTheContractAndNoOtherDriver(String driver) {
    Set<String> allowed =
        new HashSet<>(
            Set.of("kitproof.driver", "kitproof.value", "kitproof.driver." + driver + ".."));
    if (driver.equals("serialmeter") || driver.equals("relayswitcher")) {
      allowed.add("kitproof.driver.serial");
    }
    if (driver.equals("audio")) {
      allowed.add("kitproof.wav");
    }
    noClasses()
        .that()
        .resideInAPackage("kitproof.driver." + driver + "..")
        .should()
        .dependOnClassesThat(House.oursOutside(allowed.toArray(String[]::new)))
        .check(House.ALL);
  }

  @Test
  void nobodyOutsideAPluginNamesAClassOfIt() {
    noClasses()
        .that()
        .resideOutsideOfPackages(House.DRIVERS)
        .should()
        .dependOnClassesThat(resideInAnyPackage(House.DRIVERS))
        .check(House.ALL);
  }

  @Test
  void thePhysicsOfTheSimulatedUnitKnowsNoInstruments() {
    noClasses()
        .that()
        .resideInAPackage("kitproof.driver.simulated.unit..")
        .should()
        .dependOnClassesThat(
            House.oursOutside("kitproof.driver.simulated.unit..", "kitproof.value"))
        .check(House.ALL);
  }

  @Test
  void theCoreKnowsNoWayInOrOut() {
    noClasses()
        .that()
        .resideInAnyPackage(House.CORE)
        .should()
        .dependOnClassesThat()
        .resideInAnyPackage(
            "java.net..",
            "javax.net..",
            "java.nio.channels..",
            "java.net.http..",
            "org.eclipse.paho..",
            "org.apache..",
            "io.netty..",
            "picocli..",
            "com.fasterxml..",
            "kitproof.plugin..",
            "kitproof.journal..",
            "kitproof.mqtt..",
            "kitproof.console..",
            "kitproof.plot..",
            "kitproof.batch..",
            "kitproof.board..",
            "kitproof.web..",
            "kitproof.screen..",
            "kitproof.cli..")
        .check(House.ALL);
  }

  @Test
  void proceduresSeeNoLimitsRecordsOrScreens() {
    noClasses()
        .that()
        .resideInAPackage("kitproof.procedure..")
        .should()
        .dependOnClassesThat(
            House.oursOutside(
                "kitproof.procedure..",
                "kitproof.calibration",
                "kitproof.value",
                "kitproof.driver",
                "kitproof.signal",
                "kitproof.uncertainty",
                "kitproof.document"))
        .check(House.ALL);
  }

  @Test
  void thePartsOfTheAppMeetInTheCommandLineOnly() {
    // The journal is the queue that publisher and console read; its reader's type is what they
    // share.
    Map<String, Set<String>> allowed =
        Map.ofEntries(
            Map.entry("plugin", Set.of()),
            Map.entry("journal", Set.of()),
            Map.entry("mqtt", Set.of("journal")),
            Map.entry("plot", Set.of("journal")),
            Map.entry("report", Set.of("journal", "plot")),
            Map.entry("store", Set.of("journal")),
            Map.entry("selfcheck", Set.of("journal")),
            Map.entry("guide", Set.of("report")),
            Map.entry("console", Set.of("journal")),
            Map.entry("board", Set.of("batch", "journal", "mqtt", "report")),
            Map.entry("batch", Set.of("journal")),
            Map.entry("gauge", Set.of("journal")),
            Map.entry("web", Set.of("board")),
            Map.entry("screen", Set.of("journal", "report", "web")));
    allowed.forEach(
        (part, others) -> {
          String[] forbidden =
              House.APP.stream()
                  .filter(p -> !p.equals(part) && !others.contains(p))
                  .map(p -> "kitproof." + p + "..")
                  .toArray(String[]::new);
          noClasses()
              .that()
              .resideInAPackage("kitproof." + part + "..")
              .should()
              .dependOnClassesThat()
              .resideInAnyPackage(forbidden)
              .check(House.ALL);
        });
    assertThat(House.APP).containsAll(allowed.keySet()).hasSize(allowed.size() + 1);
  }

  private static void onlyOn(String part, String... others) {
    String[] allowed = new String[others.length + 1];
    allowed[0] = part;
    System.arraycopy(others, 0, allowed, 1, others.length);
    classes()
        .that()
        .resideInAPackage(part)
        .should()
        .onlyDependOnClassesThat()
        .resideInAnyPackage(allowed)
        .check(House.ALL);
  }
}
