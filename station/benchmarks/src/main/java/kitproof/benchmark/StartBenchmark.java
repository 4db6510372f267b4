package kitproof.benchmark;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;

/**
 * How long the program takes to start, as a whole process: by {@code station/bin/kitproof}, and by
 * Java from the same class path without what the launcher has kept, both against a Java program
 * that does nothing. To be run in the folder of the repository.
 *
 * <p>Argument: the class path.
 */
public final class StartBenchmark {
  /** What people start. */
  static final String LAUNCHER = Path.of("station/bin/kitproof").toAbsolutePath().toString();

  private static final int RUNS = 7;

  private static final List<List<String>> COMMANDS =
      List.of(
          List.of("--version"),
          List.of(
              "check",
              "station/examples/linnet-12/plan.yaml",
              "station/examples/linnet-12/bench-simulated.yaml"),
          List.of("drivers"));

  private StartBenchmark() {}

  public static void main(String[] arguments) throws IOException, InterruptedException {
    List<String> java =
        List.of(
            System.getProperty("java.home") + "/bin/java",
            "-XX:+UseSerialGC",
            "-Dkitproof.home=" + Path.of("").toAbsolutePath(),
            "-cp",
            arguments[0]);
    double nothing = median(and(java, List.of("kitproof.benchmark.StartBenchmark$Nothing")));
    System.out.printf(Locale.ROOT, "start-up: bare Java %.0f ms%n", nothing * 1e3);
    for (List<String> command : COMMANDS) {
      double launched = median(and(List.of(LAUNCHER), command));
      double plain = median(and(and(java, List.of("kitproof.cli.Main")), command));
      System.out.printf(
          Locale.ROOT,
          "start-up: %s %.0f ms (ratio to bare Java %.2f); from the class path alone %.0f ms"
              + " (ratio %.2f)%n",
          command.get(0),
          launched * 1e3,
          launched / nothing,
          plain * 1e3,
          plain / nothing);
    }
  }

  private static List<String> and(List<String> first, List<String> then) {
    List<String> both = new ArrayList<>(first);
    both.addAll(then);
    return both;
  }

  private static double median(List<String> line) throws IOException, InterruptedException {
    double[] seconds = new double[RUNS];
    for (int i = 0; i < RUNS; i++) {
      long start = System.nanoTime();
      int code =
          new ProcessBuilder(line)
              .redirectOutput(ProcessBuilder.Redirect.DISCARD)
              .redirectError(ProcessBuilder.Redirect.INHERIT)
              .start()
              .waitFor();
      if (code != 0) {
        throw new IOException(line + " ended with " + code);
      }
      seconds[i] = (System.nanoTime() - start) / 1e9;
    }
    Arrays.sort(seconds);
    return seconds[RUNS / 2];
  }

  /** Starts and ends. */
  public static final class Nothing {
    private Nothing() {}

    public static void main(String[] arguments) {}
  }
}
