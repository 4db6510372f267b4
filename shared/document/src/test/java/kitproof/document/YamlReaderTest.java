package kitproof.document;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.URISyntaxException;
import java.net.URL;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.Random;
import java.util.stream.LongStream;
import java.util.stream.Stream;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

class YamlReaderTest {
  @TempDir private Path folder;

  static Stream<Arguments> brokenFiles() {
    String once =
        "; expected the value written out in each place; text that begins with & or * in quotes";
    String colon =
        "found a \":\" where no value can begin; expected one \"key: value\" a line, indented like"
            + " its neighbours; text that contains \": \" in quotes";
    return Stream.of(
        broken(
            "aliases",
            "1:7: found the anchor \"&base\"" + once,
            "2:8: found the alias \"*base\"" + once,
            "4:3: found the merge key \"<<\"; expected the keys written out in each place",
            "4:7: found the alias \"*base\"" + once),
        broken("colon-in-text", "1:8: " + colon),
        broken(
            "duplicate-keys",
            "3:1: found the key \"low\" a second time, first at line 1, column 1; expected each key"
                + " once",
            "4:20: found the key \"tap\" a second time, first at line 4, column 8; expected each"
                + " key once"),
        broken("empty", " found an empty file; expected keys with values (key: value)"),
        broken(
            "escape",
            "1:11: found an unknown escape after \\; expected a known one, or single quotes"),
        broken("indentation", "2:7: " + colon),
        broken(
            "item-and-key",
            "3:3: found a line that does not fit the ones around it; expected the same indentation"
                + " as its neighbours, \"- \" before each item of a list"),
        broken(
            "no-colon",
            "2:1: found a line that is no \"key: value\"; expected a \":\" and a space after the"
                + " key"),
        broken(
            "odd-keys",
            "2:3: found a list of 2 as a key; expected text as a key",
            "4:1: found \"\" as a key; expected text as a key"),
        broken(
            "open-list",
            "2:5: found a list in brackets that is not closed here; expected \",\" or \"]\""),
        broken("open-quote", "1:7: found a quote that is never closed; expected a closing quote"),
        broken("tab", "3:1: found a tab; expected spaces; YAML does not indent with tabs"),
        broken(
            "tag-and-at",
            "1:7: found the tag \"!ohm\"; expected a value without a tag",
            "2:7: found a character that cannot begin a value; expected text that begins with it"
                + " in quotes"),
        broken("top-level-list", "1:1: found a list of 2; expected keys with values (key: value)"),
        broken(
            "two-documents",
            "2:1: found a second document in the file; expected one document; remove this \"---\""
                + " and what belongs to it"));
  }

  private static Arguments broken(String name, String... problems) {
    return Arguments.of(name, List.of(problems));
  }

  @ParameterizedTest(name = "{0}.yaml")
  @MethodSource("brokenFiles")
  void aBrokenFileIsToldWithPlaceFindingAndExpectation(String name, List<String> problems)
      throws URISyntaxException {
    URL resource = Objects.requireNonNull(getClass().getResource("broken/" + name + ".yaml"));
    Path file = Path.of(resource.toURI());
    assertThat(YamlReader.read(file).problems().stream().map(Problem::toString))
        .containsExactlyElementsOf(problems.stream().map(p -> file + ":" + p).toList());
  }

  @Test
  void everyBrokenFileIsInTheTable() throws Exception {
    URL resource = Objects.requireNonNull(getClass().getResource("broken"));
    try (Stream<Path> files = Files.list(Path.of(resource.toURI()))) {
      assertThat(files.map(f -> f.getFileName().toString()))
          .containsExactlyInAnyOrderElementsOf(
              brokenFiles().map(a -> a.get()[0] + ".yaml").toList());
    }
  }

  @Test
  void everyPieceKnowsItsPlace() {
    String text = "plan: Änderung\nsteps:\n  - {tap: \"8 ohm\", ok: yes}\n  -  010\n";
    Node.Mapping root = YamlReader.read("p.yaml", text).value();

    assertThat(root.location()).isEqualTo(new Location("p.yaml", 1, 1));
    Node.Listing steps = (Node.Listing) root.get("steps").orElseThrow();
    assertThat(root.entry("steps").orElseThrow().location())
        .isEqualTo(new Location("p.yaml", 2, 1));
    assertThat(steps.location()).isEqualTo(new Location("p.yaml", 3, 3));
    Node.Mapping step = (Node.Mapping) steps.items().get(0);
    assertThat(step.get("tap"))
        .contains(new Node.Scalar(new Location("p.yaml", 3, 11), "8 ohm", true));
    assertThat(step.get("ok"))
        .contains(new Node.Scalar(new Location("p.yaml", 3, 24), "yes", false));
    assertThat(steps.items().get(1))
        .isEqualTo(new Node.Scalar(new Location("p.yaml", 4, 6), "010", false));
  }

  @Test
  void aByteOrderMarkAndWindowsLineEndsChangeNothing() throws IOException {
    Path file = folder.resolve("bom.yaml");
    Files.writeString(file, "\uFEFFa: 1\r\nb:  2\r\n");
    Node.Mapping root = YamlReader.read(file).value();
    assertThat(root.entry("a").orElseThrow().location()).isEqualTo(at(file, 1, 1));
    assertThat(root.get("b"))
        .contains(new Node.Scalar(new Location(file.toString(), 2, 5), "2", false));
  }

  @Test
  void aFileThatIsNotThereIsAProblemNotAnException() {
    Path file = folder.resolve("none.yaml");
    assertThat(YamlReader.read(file).problems())
        .containsExactly(Problem.of(Location.of(file.toString()), "no such file", "a YAML file"));
    assertThat(YamlReader.read(folder).problems())
        .containsExactly(Problem.of(Location.of(folder.toString()), "a folder", "a file"));
  }

  @Test
  void bytesThatAreNotUtf8AreToldWithTheirPlace() throws IOException {
    Path file = folder.resolve("latin.yaml");
    Files.write(file, "a: 1\nb: ä".getBytes(StandardCharsets.ISO_8859_1));
    assertThat(YamlReader.read(file).problems())
        .containsExactly(Problem.of(at(file, 2, 4), "a byte that is not UTF-8", "a file in UTF-8"));
  }

  @Test
  void aFileCutOffInTheMiddleOfACharacterIsNotUtf8() throws IOException {
    Path file = folder.resolve("cut.yaml");
    Files.write(file, new byte[] {'a', ':', ' ', (byte) 0xC3});
    assertThat(YamlReader.read(file).problems())
        .containsExactly(Problem.of(at(file, 1, 4), "a byte that is not UTF-8", "a file in UTF-8"));
  }

  @Test
  void unprintableCharactersAreToldWithTheirPlace() {
    assertThat(YamlReader.read("c.yaml", "a: 1\nb: x\u0007y").problems())
        .containsExactly(
            Problem.of(new Location("c.yaml", 2, 5), "the character U+0007", "printable text"));
  }

  @Test
  void anUnprintableCharacterFarIntoTheFileHasItsPlaceToo() {
    String text = "# comment 😀\n".repeat(500) + "b: x\u0007y";
    assertThat(YamlReader.read("c.yaml", text).problems())
        .containsExactly(
            Problem.of(new Location("c.yaml", 501, 5), "the character U+0007", "printable text"));
  }

  @Test
  void controlCharactersBroughtInByEscapesAreRefusedToo() {
    assertThat(
            YamlReader.read("c.yaml", "a: \"x\\e[31my\"\nb: \"p\\0q\"\nc: \"r\\ts\\nt\"")
                .problems())
        .containsExactly(
            Problem.of(
                new Location("c.yaml", 1, 4),
                "the control character U+001B in a text",
                "printable text"),
            Problem.of(
                new Location("c.yaml", 2, 4),
                "the control character U+0000 in a text",
                "printable text"));
  }

  @ParameterizedTest(name = "seed {0}")
  @MethodSource("seeds")
  void whateverStandsInAFileItIsAValueOrProblems(long seed) {
    String pieces = "a b:-[]{}\"'\\#&*!|>%@`?,.~\t\n\n  0\uD83D\u0000<<---";
    Random random = new Random(seed);
    for (int i = 0; i < 500; i++) {
      StringBuilder text = new StringBuilder();
      for (int c = random.nextInt(40); c >= 0; c--) {
        text.append(pieces.charAt(random.nextInt(pieces.length())));
      }
      Parsed<Node.Mapping> parsed = YamlReader.read("any", text.toString());
      assertThat(parsed.isSound()).as(text.toString()).isEqualTo(parsed.problems().isEmpty());
    }
  }

  static LongStream seeds() {
    return LongStream.range(0, 20);
  }

  @Test
  void absurdSizesAndDepthsAreRefused() throws IOException {
    Path file = folder.resolve("large.yaml");
    Files.writeString(file, "a: " + "x".repeat(YamlReader.LARGEST_FILE));
    assertThat(YamlReader.read(file).toString())
        .endsWith("found a file of more than 1024 KiB; expected no more than 1024 KiB");
    assertThat(YamlReader.read("text", "a: " + "x".repeat(20_000)).toString())
        .isEqualTo("text:1:4: found a text of 20000 characters; expected no more than 10000");
    assertThat(YamlReader.read("key", "? " + "x".repeat(300) + "\n: 1").toString())
        .isEqualTo("key:1:3: found a key of 300 characters; expected no more than 200");
    String deep = "a: " + "[".repeat(50_000) + "]".repeat(50_000);
    assertThat(YamlReader.read("deep", deep).toString())
        .isEqualTo("deep:1:44: found more than 40 levels of nesting; expected a flatter file");
  }

  private static Location at(Path file, int line, int column) {
    return new Location(file.toString(), line, column);
  }
}
