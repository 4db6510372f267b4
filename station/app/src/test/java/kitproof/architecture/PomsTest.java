package kitproof.architecture;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.w3c.dom.NodeList;

/** The arrows between modules, as the poms draw them. */
class PomsTest {
  private static final Path ROOT = root();

  /** Module to what it needs of ours to compile and run, each with its scope. */
  private static final Map<String, Map<String, String>> DEPENDENCIES = new TreeMap<>();

  private static final Map<String, Document> POMS = new HashMap<>();

  private static Path root() {
    Path folder = Path.of("").toAbsolutePath();
    while (!Files.exists(folder.resolve("station/app/pom.xml"))) {
      folder = folder.getParent();
    }
    return folder;
  }

  @BeforeAll
  static void read() throws Exception {
    DocumentBuilderFactory factory = DocumentBuilderFactory.newInstance();
    factory.setFeature("http://apache.org/xml/features/disallow-doctype-decl", true);
    for (String module : modules(factory.newDocumentBuilder().parse(file("pom.xml")))) {
      Document pom = factory.newDocumentBuilder().parse(file(module + "/pom.xml"));
      POMS.put(module, pom);
      Map<String, String> ours = new TreeMap<>();
      elements(pom.getElementsByTagName("dependency"))
          .filter(d -> text(d, "groupId").equals("kitproof"))
          .filter(d -> !text(d, "scope").equals("test"))
          .forEach(
              d ->
                  ours.put(
                      text(d, "artifactId"),
                      text(d, "scope").isEmpty() ? "compile" : text(d, "scope")));
      DEPENDENCIES.put(module, ours);
    }
  }

  private static java.io.File file(String name) {
    return ROOT.resolve(name).toFile();
  }

  private static Set<String> modules(Document root) {
    Set<String> modules = new TreeSet<>();
    elements(root.getElementsByTagName("module")).forEach(m -> modules.add(m.getTextContent()));
    return modules;
  }

  private static Stream<Element> elements(NodeList nodes) {
    return IntStream.range(0, nodes.getLength()).mapToObj(i -> (Element) nodes.item(i));
  }

  private static String text(Element parent, String name) {
    NodeList found = parent.getElementsByTagName(name);
    return found.getLength() == 0 ? "" : found.item(0).getTextContent().strip();
  }

  private static Set<String> of(String module) {
    return DEPENDENCIES.get(module).keySet();
  }

  @Test
  void theModulesAreThese() {
    assertThat(DEPENDENCIES.keySet())
        .containsExactly(
            "drivers/audio-interface",
            "drivers/relay-switcher",
            "drivers/serial-line",
            "drivers/serial-meter",
            "drivers/simulated-bench",
            "limits",
            "shared/contract",
            "shared/contract-kit",
            "shared/document",
            "shared/signal",
            "shared/uncertainty",
            "shared/wav",
            "station/app",
            "station/benchmarks",
            "station/core");
  }

  @Test
  void eachModuleDependsOnWhatTheHousePlanSaysAndNothingElse() {
    assertThat(of("shared/contract")).isEmpty();
    for (String one : Set.of("contract-kit", "document", "signal", "uncertainty", "wav")) {
      assertThat(of("shared/" + one)).as(one).containsExactly("kitproof-contract");
    }
    assertThat(of("limits"))
        .containsExactly("kitproof-contract", "kitproof-document", "kitproof-uncertainty");
    assertThat(of("drivers/serial-line")).containsExactly("kitproof-contract");
    for (String one : Set.of("serial-meter", "relay-switcher")) {
      assertThat(of("drivers/" + one))
          .as(one)
          .containsExactly("kitproof-contract", "kitproof-serial-line");
    }
    assertThat(of("drivers/audio-interface")).containsExactly("kitproof-contract", "kitproof-wav");
    assertThat(of("drivers/simulated-bench")).containsExactly("kitproof-contract");
    assertThat(of("station/core"))
        .containsExactly(
            "kitproof-contract",
            "kitproof-document",
            "kitproof-limits",
            "kitproof-signal",
            "kitproof-uncertainty");
  }

  @Test
  void theAppNamesItsDriversAtRunTimeOnly() {
    Map<String, String> app = DEPENDENCIES.get("station/app");
    Set<String> drivers = new TreeSet<>();
    app.forEach(
        (name, scope) -> {
          if (scope.equals("runtime")) {
            drivers.add(name);
          }
        });
    assertThat(drivers)
        .containsExactly(
            "kitproof-audio-interface",
            "kitproof-relay-switcher",
            "kitproof-serial-meter",
            "kitproof-simulated-bench");
    assertThat(app.keySet())
        .as("the rest")
        .filteredOn(name -> !drivers.contains(name))
        .containsExactly("kitproof-core", "kitproof-document", "kitproof-wav");
  }

  @Test
  void everyPluginSaysItsContractVersionAndNamesAClassThatIsThere() throws IOException {
    for (String module :
        Set.of("serial-meter", "relay-switcher", "audio-interface", "simulated-bench")) {
      assertThat(text(POMS.get("drivers/" + module).getDocumentElement(), "Driver-Api"))
          .as(module)
          .isEqualTo("1");
      Path services =
          ROOT.resolve("drivers/" + module)
              .resolve("src/main/resources/META-INF/services/kitproof.driver.DriverProvider");
      String named = Files.readString(services).strip();
      assertThat(
              ROOT.resolve(
                  "drivers/" + module + "/src/main/java/" + named.replace('.', '/') + ".java"))
          .exists();
    }
  }

  @Test
  void theTopLevelIsWhatAVisitorExpects() throws IOException {
    try (Stream<Path> files = Files.list(ROOT)) {
      assertThat(files.map(f -> f.getFileName().toString()))
          .filteredOn(
              name ->
                  !name.startsWith(".") && !Set.of("target", "records", "plugins").contains(name))
          .containsExactlyInAnyOrder(
              "README.md",
              "DEVELOPERS.md",
              "LICENSE",
              "pom.xml",
              "drivers",
              "limits",
              "shared",
              "station");
    }
  }
}
