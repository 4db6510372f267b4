package kitproof.benchmark;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;

/**
 * How long the program takes to start, as a whole process: its version, and the drivers it finds,
 * against a Java program that does nothing.
 *
 * <p>Argument: the class path.
 */
public final class StartBenchmark {
  private static final int RUNS = 7;

  private StartBenchmark() {}

  public static void main(String[] arguments) throws IOException, InterruptedException {
    String classPath = arguments[0];
    double nothing = median(classPath, "kitproof.benchmark.StartBenchmark$Nothing");
    double version = median(classPath, "kitproof.cli.Main", "--version");
    double drivers = median(classPath, "kitproof.cli.Main", "drivers");
    System.out.printf(
        Locale.ROOT,
        "start-up: bare Java %.0f ms; --version %.0f ms (ratio %.2f); drivers %.0f ms (ratio"
            + " %.2f)%n",
        nothing * 1e3,
        version * 1e3,
        version / nothing,
        drivers * 1e3,
        drivers / nothing);
  }

  private static double median(String classPath, String... command)
      throws IOException, InterruptedException {
    double[] seconds = new double[RUNS];
    for (int i = 0; i < RUNS; i++) {
      List<String> line =
          new ArrayList<>(
              List.of(
                  System.getProperty("java.home") + "/bin/java",
                  "-XX:+UseSerialGC",
                  "-cp",
                  classPath));
      line.addAll(List.of(command));
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
