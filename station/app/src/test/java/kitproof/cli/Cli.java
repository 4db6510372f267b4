package kitproof.cli;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.ConcurrentHashMap;

/**
 * One call of the program, in this process, with what it printed.
 *
 * @param code exit code
 * @param out standard output
 * @param err standard error
 */
public record Cli(int code, String out, String err) {
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
    int code =
        run(
            new PrintStream(out, true, StandardCharsets.UTF_8),
            new PrintStream(err, true, StandardCharsets.UTF_8),
            List.of(arguments).stream().map(Object::toString).toList());
    return new Cli(
        code, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
  }

  /** The same, printing there as it goes on; returns the exit code. */
  public static synchronized int run(PrintStream out, PrintStream err, List<String> arguments) {
    return inside(out, err, () -> Main.run(arguments.toArray(String[]::new)));
  }

  private static int inside(PrintStream out, PrintStream err, Callable<Integer> work) {
    PrintStream outBefore = System.out;
    PrintStream errBefore = System.err;
    String homeBefore = System.getProperty("kitproof.home", "");
    System.setProperty("kitproof.home", HOME.toString());
    System.setOut(out);
    System.setErr(err);
    try {
      return work.call();
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException(e);
    } finally {
      System.setOut(outBefore);
      System.setErr(errBefore);
      System.setProperty("kitproof.home", homeBefore);
    }
  }

  /**
   * Several calls at once, which print through one another.
   *
   * @param calls the arguments, by a name each
   * @return the exit codes by name
   */
  public static synchronized Map<String, Integer> together(
      PrintStream both, Map<String, List<String>> calls) {
    Map<String, Integer> codes = new ConcurrentHashMap<>();
    inside(
        both,
        both,
        () -> {
          List<Thread> threads = new ArrayList<>();
          calls.forEach(
              (name, arguments) ->
                  threads.add(
                      new Thread(
                          () -> codes.put(name, Main.run(arguments.toArray(String[]::new))),
                          "program " + name)));
          threads.forEach(Thread::start);
          for (Thread thread : threads) {
            thread.join();
          }
          return 0;
        });
    return codes;
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
