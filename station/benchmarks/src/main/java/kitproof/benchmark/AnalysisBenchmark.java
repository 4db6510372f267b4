package kitproof.benchmark;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.function.Supplier;
import kitproof.signal.Band;
import kitproof.signal.SweepAnalysis;
import kitproof.signal.SweepResponse;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.ToneFigures;

/**
 * Signal analysis beside SciPy, on the same captures and in one run.
 *
 * <p>Arguments: a Python interpreter that has SciPy, and the script to run. Both sides do the same
 * arithmetic and both sides' figures are compared, so a ratio never compares unlike work.
 */
public final class AnalysisBenchmark {
  private static final Band AUDIO = new Band(20, 20000);
  private static final int HARMONICS = 10;

  private AnalysisBenchmark() {}

  public static void main(String[] arguments) throws IOException, InterruptedException {
    if (arguments.length != 2) {
      throw new IllegalArgumentException("arguments: PYTHON SCRIPT");
    }
    double[] coherent = Captures.tone(Captures.TONE.frequencyHz());
    double[] free = Captures.tone(Captures.FREE_HZ);
    double[] sweep = Captures.sweep();

    Map<String, Supplier<double[]>> works = new LinkedHashMap<>();
    works.put(
        "coherent",
        () ->
            figures(
                ToneAnalysis.coherent(
                    coherent, Captures.RATE, Captures.TONE.cycles(), AUDIO, HARMONICS)));
    works.put(
        "fitted", () -> figures(ToneAnalysis.fitted(free, Captures.RATE, 1000, AUDIO, HARMONICS)));
    works.put("sweep", () -> figures(SweepAnalysis.response(Captures.SWEEP, 1, sweep)));

    Map<String, Line> ours = new LinkedHashMap<>();
    works.forEach(
        (name, work) -> ours.put(name, new Line(Stopwatch.medianMillis(work), work.get())));

    Path folder = Files.createTempDirectory("kitproof-benchmark");
    try {
      Captures.write(folder.resolve("coherent"), coherent);
      Captures.write(folder.resolve("fitted"), free);
      Captures.write(folder.resolve("sweep"), sweep);
      print(ours, scipy(arguments[0], arguments[1], folder));
    } finally {
      for (String name : works.keySet()) {
        Files.deleteIfExists(folder.resolve(name));
      }
      Files.delete(folder);
    }
  }

  private static double[] figures(ToneFigures tone) {
    return new double[] {tone.levelVolts(), tone.thd(), tone.thdPlusNoise()};
  }

  private static double[] figures(SweepResponse response) {
    return new double[] {
      response.at(20).abs(),
      response.at(1000).abs(),
      response.at(20000).abs(),
      response.harmonic(2).orElseThrow().at(1000).abs()
    };
  }

  private static Map<String, Line> scipy(String python, String script, Path folder)
      throws IOException, InterruptedException {
    Process process =
        new ProcessBuilder(
                python,
                script,
                folder.toString(),
                Double.toString(Captures.RATE),
                Integer.toString(Captures.TONE.cycles()),
                Integer.toString(Captures.SWEEP.cycles()))
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    Map<String, Line> lines = new LinkedHashMap<>();
    try (BufferedReader reader =
        new BufferedReader(
            new InputStreamReader(process.getInputStream(), StandardCharsets.UTF_8))) {
      for (String line = reader.readLine(); line != null; line = reader.readLine()) {
        if (line.startsWith("#")) {
          System.out.println(line.substring(1).strip());
          continue;
        }
        String[] cells = line.split(" ");
        double[] values = new double[cells.length - 2];
        for (int i = 0; i < values.length; i++) {
          values[i] = Double.parseDouble(cells[i + 2]);
        }
        lines.put(cells[0], new Line(Double.parseDouble(cells[1]), values));
      }
    }
    if (process.waitFor() != 0) {
      throw new IOException(python + " " + script + " ended with " + process.exitValue());
    }
    return lines;
  }

  private static void print(Map<String, Line> ours, Map<String, Line> theirs) {
    System.out.printf(
        Locale.ROOT,
        "%-10s %12s %12s %10s %22s%n",
        "analysis",
        "Kitproof ms",
        "SciPy ms",
        "ratio",
        "largest difference dB");
    for (Map.Entry<String, Line> entry : ours.entrySet()) {
      Line other = theirs.get(entry.getKey());
      if (other == null || other.values().length != entry.getValue().values().length) {
        throw new IllegalStateException("SciPy's side gave no " + entry.getKey());
      }
      double difference = entry.getValue().differenceDb(other);
      System.out.printf(
          Locale.ROOT,
          "%-10s %12.1f %12.1f %10.2f %22.1e%n",
          entry.getKey(),
          entry.getValue().millis(),
          other.millis(),
          entry.getValue().millis() / other.millis(),
          difference);
      if (!(difference < 0.01)) {
        throw new IllegalStateException(entry.getKey() + ": the two sides' figures differ");
      }
    }
    System.out.println("ratio: Kitproof's time over SciPy's; below 1 is faster. Medians.");
  }

  /** What one side measured and how long it took. */
  private record Line(double millis, double[] values) {
    double differenceDb(Line other) {
      double largest = 0;
      for (int i = 0; i < values.length; i++) {
        largest = Math.max(largest, Math.abs(20 * Math.log10(values[i] / other.values[i])));
      }
      return largest;
    }
  }
}
