package kitproof.guide;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.StringReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import nu.validator.htmlparser.common.XmlViolationPolicy;
import nu.validator.htmlparser.dom.HtmlDocumentBuilder;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.w3c.dom.NodeList;
import org.xml.sax.InputSource;
import org.xml.sax.SAXParseException;
import org.xml.sax.helpers.DefaultHandler;

/** Pages are read back by the reference parser of the HTML standard. */
class GuideTest {
  private static final String HOSTILE = "</style><script>alert(1)</script> & \" ' <b>";

  @TempDir Path folder;

  private static Path example(String name) {
    Path home = Path.of("").toAbsolutePath();
    while (!Files.exists(home.resolve("station/examples/linnet-12/plan.yaml"))) {
      home = home.getParent();
    }
    return home.resolve("station/examples/linnet-12").resolve(name);
  }

  private static Bench bench(String name) {
    return BenchReader.read(example(name)).value();
  }

  private static Plan plan() {
    return PlanReader.read(example("plan.yaml")).value();
  }

  private static String page(Bench bench) {
    return BenchGuide.html(bench, List.of(plan()), Map.of("bench.yaml", "sha256:0a1b"));
  }

  /** The page as a browser sees it; fails on whatever the HTML standard calls a parse error. */
  private static Document parsed(String page) throws Exception {
    List<String> mistakes = new ArrayList<>();
    HtmlDocumentBuilder builder = new HtmlDocumentBuilder(XmlViolationPolicy.ALLOW);
    builder.setErrorHandler(
        new DefaultHandler() {
          @Override
          public void error(SAXParseException e) {
            mistakes.add(e.getLineNumber() + ": " + e.getMessage());
          }
        });
    Document document = builder.parse(new InputSource(new StringReader(page)));
    assertThat(mistakes).isEmpty();
    return document;
  }

  private static List<Element> elements(Element within, String name) {
    NodeList found = within.getElementsByTagName(name);
    List<Element> elements = new ArrayList<>();
    for (int i = 0; i < found.getLength(); i++) {
      elements.add((Element) found.item(i));
    }
    return elements;
  }

  /** The rows of all tables of a kind, each cell's text. */
  private static List<List<String>> rows(Document page, String kind) {
    List<List<String>> rows = new ArrayList<>();
    for (Element table : elements(page.getDocumentElement(), "table")) {
      if (table.getAttribute("class").equals(kind)) {
        for (Element row : elements(table, "tr")) {
          List<String> cells = new ArrayList<>();
          NodeList children = row.getChildNodes();
          for (int i = 0; i < children.getLength(); i++) {
            cells.add(children.item(i).getTextContent());
          }
          rows.add(cells);
        }
      }
    }
    return rows;
  }

  @ParameterizedTest
  @ValueSource(strings = {"bench-serial.yaml", "bench-simulated.yaml"})
  void everythingTheFileNamesIsThere(String name) throws Exception {
    Bench bench = bench(name);
    Document page = parsed(page(bench));
    assertThat(rows(page, "roles"))
        .extracting(row -> row.get(0))
        .containsAll(bench.roles().keySet())
        .hasSize(bench.roles().size() + 1);
    List<List<String>> routes = rows(page, "routes");
    for (Route route : bench.routes()) {
      assertThat(routes)
          .filteredOn(row -> row.get(0).equals(route.name()))
          .hasSize(1)
          .first()
          .satisfies(
              row -> {
                assertThat(row.get(1))
                    .isEqualTo(
                        route.relays().isEmpty()
                            ? "none: at rest"
                            : String.join(", ", route.relays()));
                assertThat(row.get(2)).isEqualTo(route.purpose().toString());
              });
    }
    Set<String> relays =
        bench.routes().stream().flatMap(r -> r.relays().stream()).collect(Collectors.toSet());
    assertThat(relays).hasSize(25);
    // A relay's first row begins with its name; the rows of its other routes with the group.
    Set<String> told =
        rows(page, "relays").stream().map(row -> row.get(0)).collect(Collectors.toSet());
    assertThat(told).containsAll(relays);
    String drawn =
        elements(page.getDocumentElement(), "text").stream()
            .map(Element::getTextContent)
            .collect(Collectors.joining(" "));
    assertThat(drawn).contains(relays);
    for (Route route : bench.routes()) {
      assertThat(drawn).contains(route.name());
    }
    assertThat(rows(page, "interlocks"))
        .extracting(row -> row.get(0))
        .containsExactly(
            "Interlock", "HV rail", "mains power", "output valve", "answers of relays");
    assertThat(page.getDocumentElement().getTextContent())
        .contains("A meter that says nothing for nine tenths of it takes the mains away too.");
    assertThat(rows(page, "interlocks").get(2))
        .containsSequence("wattmeter, power", "\u2013", "130\u00a0W", "\u2013", "2\u00a0s")
        .contains("mains direct");
    assertThat(rows(page, "interlocks").get(3)).contains("18\u00a0V, 10\u00a0s");
    // Four seconds and four times the longest time to settle: see BoardLooks.
    long settle = bench.routes().stream().mapToLong(r -> r.settle().toMillis()).max().orElseThrow();
    assertThat(rows(page, "interlocks").get(4))
        .containsSequence(
            "relays, read-back",
            "\u2013",
            "\u2013",
            "\u2013",
            (4_000 + 4 * settle) / 1e3 + "\u00a0s",
            "1\u00a0s")
        .contains("mains limited or direct", "all");
  }

  @Test
  void theHeatThatLoadsStandIsThereToBeComparedAndWhatThePlanMakesOfIt() throws Exception {
    Document page = parsed(page(bench("bench-serial.yaml")));
    assertThat(rows(page, "loads"))
        .hasSize(7)
        .contains(
            List.of(
                "left 8 ohm",
                "left 8 ohm tap, left 8 ohm tap, second load, left 8 ohm tap, capacitor",
                "8.02\u00a0ohm",
                "25\u00a0W, averaged over 60\u00a0s",
                "",
                ""));
    assertThat(rows(page, "heat"))
        .anySatisfy(
            row ->
                assertThat(row)
                    .startsWith("left 8 ohm")
                    .contains("20\u00a0W", "22\u00a0%", "not at all"));
    Path file =
        Files.writeString(
            folder.resolve("bench.yaml"),
            "bench: a\nshop: s\nstation: t\nroles:\n  r:\n    driver: d\n    kind: switcher\n"
                + "    routes:\n      on: {group: g, purpose: load, load: 8 ohm}\n");
    assertThat(
            rows(
                parsed(BenchGuide.html(BenchReader.read(file).value(), List.of(), Map.of())),
                "loads"))
        .anySatisfy(row -> assertThat(row).contains("8\u00a0ohm", "none: its heat is not watched"));
  }

  @Test
  void theDrawingTellsThePortOfEachInstrument() throws Exception {
    String drawn =
        elements(parsed(page(bench("bench-serial.yaml"))).getDocumentElement(), "text").stream()
            .map(Element::getTextContent)
            .collect(Collectors.joining(" "));
    assertThat(drawn)
        .contains(
            "at /dev/serial/by-id/usb-relay-board: moves the", "/dev/serial/by-id/usb-hv-meter")
        .contains("outputs: left channel 1, right channel 2;");
  }

  /** By hand from the wiring in the comment of the bench file. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "K2  | mains two lamps        | mains direct                 | K1",
        "K19 | mains two lamps        | mains one lamp               | K1",
        "K3  | drive muted            | drive left                   | \u2013",
        "K3  | drive right            | drive both                   | K4",
        "K5  | left 8 ohm tap         | left 4 ohm tap               | \u2013",
        "K14 | left 16 ohm tap        | left 16 ohm tap, second load | K6",
        "K25 | range 20 V             | range 5 V                    | \u2013",
      })
  void aRelayChangesOneRouteForAnother(String relay, String rest, String energised, String with)
      throws Exception {
    String owner = "";
    List<List<String>> found = new ArrayList<>();
    for (List<String> row : rows(parsed(page(bench("bench-serial.yaml"))), "relays")) {
      owner = row.size() == 6 ? row.get(0) : owner;
      if (owner.equals(relay)) {
        found.add(row.subList(row.size() - 3, row.size()));
      }
    }
    assertThat(found).contains(List.of(rest, energised, with));
  }

  @Test
  void theSettingsOfARelayAreTheBoards() throws Exception {
    assertThat(rows(parsed(page(bench("bench-serial.yaml"))), "relays"))
        .anySatisfy(row -> assertThat(row).startsWith("K25", "24", "input range"));
    assertThat(rows(parsed(page(bench("bench-simulated.yaml"))), "relays"))
        .anySatisfy(row -> assertThat(row).startsWith("K25", "sensitive-inputs", "input range"));
  }

  @Test
  void whatStandsAtRestIsAChecklist() throws Exception {
    Document page = parsed(page(bench("bench-serial.yaml")));
    List<List<String>> rest = rows(page, "rest");
    assertThat(rest)
        .extracting(row -> row.get(1))
        .containsExactly(
            "Stands at rest",
            "mains off",
            "drive muted",
            "left 8 ohm tap",
            "right 8 ohm tap",
            "ultralinear",
            "cathode V3",
            "cold leads off",
            "inputs direct",
            "range 20 V");
    assertThat(rest.get(3).get(2)).contains("8.02 ohm").contains("channel left, tap 8 ohm");
    long boxes =
        elements(page.getDocumentElement(), "span").stream()
            .filter(e -> e.getAttribute("class").equals("box"))
            .count();
    int loads = rows(page, "loads").size() - 1;
    assertThat(boxes)
        .isEqualTo(rest.size() - 1 + bench("bench-serial.yaml").routes().size() + loads);
  }

  @Test
  void whatAFileSaysStaysWords() throws Exception {
    String quoted = "'" + HOSTILE.replace("'", "''") + "'";
    String yaml =
        Files.readString(example("bench-simulated.yaml"), StandardCharsets.UTF_8)
            .replace("bench: simulated Linnet 12 bench", "bench: " + quoted)
            .replace("      triode:  ", "      " + quoted + ":  ")
            .replace("group: probe,", "group: " + quoted + ",")
            .replace("[K9]", "[" + quoted + "]")
            .replace("K9: triode", quoted + ": " + quoted);
    Path file = Files.writeString(folder.resolve("bench.yaml"), yaml, StandardCharsets.UTF_8);
    Document page = parsed(page(BenchReader.read(file).value()));
    assertThat(elements(page.getDocumentElement(), "script")).isEmpty();
    assertThat(elements(page.getDocumentElement(), "b")).isEmpty();
    assertThat(rows(page, "routes")).extracting(row -> row.get(0)).contains(HOSTILE);
    assertThat(rows(page, "relays"))
        .anySatisfy(row -> assertThat(row).startsWith(HOSTILE, HOSTILE, "mode"));
    assertThat(elements(page.getDocumentElement(), "h1").get(0).getTextContent())
        .isEqualTo("Bench guide: " + HOSTILE);
  }

  @Test
  void thePageIsWholeInItself() {
    String page = page(bench("bench-serial.yaml"));
    assertThat(page)
        .doesNotContain("<script", "<link", "@import", "url(", "src=", "href=")
        .contains("several hundred volts", "local codes", "licensed");
    assertThat(page).isEqualTo(page(bench("bench-serial.yaml")));
  }

  @Test
  void aRelayWithoutARouteAndAGroupWithoutRestAreTold() throws Exception {
    Path file =
        Files.writeString(
            folder.resolve("bench.yaml"),
            "bench: a\nshop: s\nstation: t\nfixed-load: 8.1 ohm\nroles:\n  r:\n    driver: d\n"
                + "    kind: switcher\n    settings: {relays: {K1: 0, K2: 1}}\n"
                + "    routes:\n      on: {group: g, relays: [K1]}\n");
    Document page = parsed(BenchGuide.html(BenchReader.read(file).value(), List.of(), Map.of()));
    assertThat(rows(page, "relays"))
        .contains(
            List.of("K1", "0", "g", "no route of the file", "on", "\u2013"),
            List.of("K2", "1", "no route energises it"));
    assertThat(rows(page, "rest"))
        .anySatisfy(row -> assertThat(row).startsWith("g", "no route of the file"))
        .anySatisfy(row -> assertThat(row).startsWith("fixed load", "8.1 ohm"));
    assertThat(rows(page, "interlocks"))
        .satisfiesExactly(
            head -> assertThat(head).startsWith("Interlock").endsWith("Steps"),
            board -> assertThat(board).startsWith("answers of r", "r, read-back").endsWith("all"));
  }

  /** At rest the selectors of mains, drive and cold leads must not look as if they led on. */
  @Test
  void whatLeadsNowhereIsDrawnSo() throws Exception {
    long on = 0;
    for (Element line :
        elements(parsed(page(bench("bench-serial.yaml"))).getDocumentElement(), "line")) {
      on += line.getAttribute("x2").equals("745") ? 1 : 0;
    }
    assertThat(on).isEqualTo(bench("bench-serial.yaml").routes().size() - 3);
  }

  @Test
  void aTableHasTheColumnsOfItsGroup() throws Exception {
    assertThat(rows(parsed(page(bench("bench-serial.yaml"))), "routes"))
        .contains(
            List.of(
                "Route",
                "Energised",
                "Purpose",
                "Load",
                "Rating",
                "Resistor",
                "Settle",
                "Conditions",
                "Good"),
            List.of(
                "left 4 ohm tap",
                "K5",
                "load",
                "4.01\u00a0ohm",
                "25\u00a0W, averaged over 60\u00a0s",
                "left 4 ohm",
                "50\u00a0ms",
                "channel left, tap 4 ohm",
                ""),
            List.of("Route", "Energised", "Purpose", "Input range", "Settle", "Good"),
            List.of("range 5 V", "K25", "range", "5\u00a0V", "30\u00a0ms", ""));
  }

  @Test
  void noTextOfTheDrawingLeavesItsFrame() throws Exception {
    String yaml =
        Files.readString(example("bench-serial.yaml"), StandardCharsets.UTF_8)
            .replace("left 4 ohm tap, second load", "W".repeat(200))
            .replace("[K9]", "[" + "K".repeat(90) + "]")
            .replace("K9: 8", "K".repeat(90) + ": 8");
    Path file = Files.writeString(folder.resolve("bench.yaml"), yaml, StandardCharsets.UTF_8);
    Set<String> sizes = new HashSet<>();
    for (Element sheet :
        elements(parsed(page(BenchReader.read(file).value())).getDocumentElement(), "svg")) {
      String[] box = sheet.getAttribute("viewBox").split(" ");
      sizes.add(box[3]);
      assertThat(Double.parseDouble(box[3])).isLessThan(1250);
      for (Element text : elements(sheet, "text")) {
        double x = Double.parseDouble(text.getAttribute("x"));
        // Letters of a typewriter face are 0.6 of their size wide: common practice, no source.
        double end = x + 9 * text.getTextContent().length();
        double frame = x < 200 ? 180 : x < 400 && x > 280 ? 400 : x < 745 ? 715 : 998;
        assertThat(end).as(text.getTextContent()).isLessThanOrEqualTo(frame);
        assertThat(Double.parseDouble(text.getAttribute("y")))
            .isLessThan(Double.parseDouble(box[3]));
      }
    }
    assertThat(sizes).isNotEmpty();
  }
}
