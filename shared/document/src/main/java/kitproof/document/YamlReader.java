package kitproof.document;

import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.CharBuffer;
import java.nio.charset.CharsetDecoder;
import java.nio.charset.CoderResult;
import java.nio.charset.CodingErrorAction;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Problem;
import org.yaml.snakeyaml.reader.ReaderException;

/**
 * Reads a YAML file into a tree of nodes, each with its place.
 *
 * <p>Of YAML it takes what a person needs for a plan: sections, lists and texts, in one document.
 * Anchors, aliases, merge keys and tags are refused, keys that stand twice too. Scalars stay text:
 * whoever reads {@code yes} or {@code 010} knows what is wanted.
 */
public final class YamlReader {
  /** The most that is read, in bytes. */
  static final int LARGEST_FILE = 1 << 20;

  private YamlReader() {}

  /** Reads a file; messages name it as it was given. */
  public static Parsed<Node.Mapping> read(Path file) {
    String name = file.toString();
    byte[] bytes;
    try {
      if (Files.isDirectory(file)) {
        return wrong(Location.of(name), "a folder", "a file");
      }
      try (InputStream in = Files.newInputStream(file)) {
        bytes = in.readNBytes(LARGEST_FILE + 1); // never more, whatever the file is
      }
      if (bytes.length > LARGEST_FILE) {
        return tooLarge(name);
      }
    } catch (NoSuchFileException e) {
      return wrong(Location.of(name), "no such file", "a YAML file");
    } catch (IOException e) {
      return wrong(
          Location.of(name), "a file that cannot be read (" + e.getMessage() + ")", "a YAML file");
    }
    return read(name, bytes);
  }

  /** Reads text; {@code name} stands for the file in messages. */
  public static Parsed<Node.Mapping> read(String name, String text) {
    return readNode(name, text)
        .flatMap(
            node ->
                node instanceof Node.Mapping mapping
                    ? Parsed.of(mapping)
                    : wrong(node.location(), node.describe(), "keys with values (key: value)"));
  }

  private static Parsed<Node.Mapping> read(String name, byte[] bytes) {
    CharsetDecoder decoder =
        StandardCharsets.UTF_8
            .newDecoder()
            .onMalformedInput(CodingErrorAction.REPORT)
            .onUnmappableCharacter(CodingErrorAction.REPORT);
    CharBuffer text = CharBuffer.allocate(bytes.length + 1);
    CoderResult result = decoder.decode(ByteBuffer.wrap(bytes), text, true);
    text.flip();
    if (result.isError()) {
      return wrong(endOf(name, text.toString()), "a byte that is not UTF-8", "a file in UTF-8");
    }
    return read(name, text.toString());
  }

  /** Reads any node, not only a mapping: used for initial values too. */
  static Parsed<Node> readNode(String name, String text) {
    if (text.length() > LARGEST_FILE) {
      return tooLarge(name);
    }
    String content = text.startsWith("\uFEFF") ? text.substring(1) : text;
    try {
      return new NodeBuilder(name, content).build();
    } catch (ReaderException e) {
      String before = content.substring(0, content.offsetByCodePoints(0, e.getPosition()));
      String found = String.format(Locale.ROOT, "the character U+%04X", e.getCodePoint());
      return wrong(endOf(name, before), found, "printable text");
    }
  }

  private static Location endOf(String name, String text) {
    int lineStart = text.lastIndexOf('\n') + 1;
    int line = 1 + (int) text.chars().filter(c -> c == '\n').count();
    return new Location(name, line, 1 + text.codePointCount(lineStart, text.length()));
  }

  private static <T> Parsed<T> tooLarge(String name) {
    String most = LARGEST_FILE / 1024 + " KiB";
    return wrong(Location.of(name), "a file of more than " + most, "no more than " + most);
  }

  static <T> Parsed<T> wrong(Location location, String found, String expected) {
    return Parsed.wrong(List.of(Problem.of(location, found, expected)));
  }
}
