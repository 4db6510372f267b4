package kitproof.architecture;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Each library is seen by one part, so that it can be replaced there. */
class LibrariesTest {
  @ParameterizedTest(name = "{0} only in {1}")
  @CsvSource({
    "com.fazecast..,           kitproof.driver.serial",
    "org.eclipse.paho..,       kitproof.mqtt",
    "org.apache.activemq..,    kitproof.mqtt",
    "io.netty..,               kitproof.mqtt",
    "org.yaml..,               kitproof.document",
    "com.github.victools..,    kitproof.document",
    "javax.sound..,            kitproof.driver.audio|kitproof.wav",
    "net.sourceforge.javaflacencoder..,kitproof.wav",
    "org.jflac..,              kitproof.wav",
    "com.openhtmltopdf..,      kitproof.report",
    "java.sql..,               kitproof.store",
    "org.sqlite..,             kitproof.store",
    "org.flywaydb..,           kitproof.store",
    "org.jdbi..,               kitproof.store",
    "org.apache.pdfbox..,      kitproof.report",
    "org.apache.fontbox..,     kitproof.report",
    "io.javalin..,             kitproof.web|kitproof.screen",
    "org.eclipse.jetty..,      kitproof.web",
    "picocli..,                kitproof.cli",
    "sun..,                    kitproof.cli",
    "org.jtransforms..,        kitproof.signal",
    "org.apache.commons.math3..,kitproof.signal|kitproof.limit.statistics|kitproof.uncertainty",
    "org.jgrapht..,            kitproof.limit.statistics",
    "org.apache.commons.csv.., kitproof.batch",
    "java.net.http..,          kitproof.none",
    "java.util.logging..,      kitproof.none",
    "javax.net.ssl..,          kitproof.mqtt|kitproof.web",
  })
  void oneLibraryOnePart(String library, String part) {
    noClasses()
        .that(House.oursOutside(part.split("\\|")))
        .should()
        .dependOnClassesThat()
        .resideInAPackage(library)
        .check(House.ALL);
  }

  @ParameterizedTest(name = "{1} does use {0}")
  @CsvSource({
    "com.fazecast..,           kitproof.driver.serial",
    "org.eclipse.paho..,       kitproof.mqtt",
    "org.apache.activemq..,    kitproof.mqtt",
    "org.yaml..,               kitproof.document",
    "javax.sound..,            kitproof.driver.audio",
    "javax.sound..,            kitproof.wav",
    "net.sourceforge.javaflacencoder..,kitproof.wav",
    "org.jflac..,              kitproof.wav",
    "com.openhtmltopdf..,      kitproof.report",
    "java.sql..,               kitproof.store",
    "org.sqlite..,             kitproof.store",
    "org.flywaydb..,           kitproof.store",
    "org.jdbi..,               kitproof.store",
    "org.apache.pdfbox..,      kitproof.report",
    "org.apache.fontbox..,     kitproof.report",
    "io.javalin..,             kitproof.web",
    "io.javalin..,             kitproof.screen",
    "picocli..,                kitproof.cli",
    "org.jtransforms..,        kitproof.signal",
    "org.apache.commons.math3..,kitproof.signal",
    "org.apache.commons.math3..,kitproof.limit.statistics",
    "org.apache.commons.math3..,kitproof.uncertainty",
    "org.jgrapht..,            kitproof.limit.statistics",
  })
  void thePartThatMaySeesIt(String library, String part) {
    // A rule about a misspelt package would hold for ever; this one would not.
    org.assertj.core.api.Assertions.assertThatThrownBy(
            () ->
                classes()
                    .that()
                    .resideInAPackage(part)
                    .should()
                    .onlyDependOnClassesThat()
                    .resideOutsideOfPackage(library)
                    .check(House.ALL))
        .isInstanceOf(AssertionError.class);
  }
}
