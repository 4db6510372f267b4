package kitproof.cli;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/**
 * One call of the program, in this process, with what it printed.
 *
 * @param code exit code
 * @param out standard output
 * @param err standard error
 */
record Cli(int code, String out, String err) {
  /** The folder that has station, drivers and limits. */
  static final Path HOME = home();

  private static Path home() {
    Path folder = Path.of("").toAbsolutePath();
    while (!Files.exists(folder.resolve("station/examples/linnet-12/plan.yaml"))) {
      folder = folder.getParent();
    }
    return folder;
  }

  static Path example(String name) {
    return HOME.resolve("station/examples/linnet-12").resolve(name);
  }

  static synchronized Cli run(Object... arguments) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ByteArrayOutputStream err = new ByteArrayOutputStream();
    PrintStream outBefore = System.out;
    PrintStream errBefore = System.err;
    String homeBefore = System.getProperty("kitproof.home", "");
    System.setProperty("kitproof.home", HOME.toString());
    System.setOut(new PrintStream(out, true, StandardCharsets.UTF_8));
    System.setErr(new PrintStream(err, true, StandardCharsets.UTF_8));
    try {
      int code = Main.run(List.of(arguments).stream().map(Object::toString).toArray(String[]::new));
      return new Cli(
          code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
    } finally {
      System.setOut(outBefore);
      System.setErr(errBefore);
      System.setProperty("kitproof.home", homeBefore);
    }
  }

  JsonNode json() {
    try {
      return new ObjectMapper().readTree(out);
    } catch (JsonProcessingException e) {
      throw new AssertionError("no JSON: " + out, e);
    }
  }

  String lastLine() {
    List<String> lines = out.strip().lines().toList();
    return lines.get(lines.size() - 1);
  }
}
