package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/**
 * Recordings that another program makes (recordings.py, run by Python), measured by the analyses of
 * saved captures, against what NumPy and SciPy found in the same recordings (figures.csv, made
 * beforehand by figures.py).
 */
class SavedRecordingsIT {
  @TempDir static Path folder;

  /**
   * A figure of SciPy's.
   *
   * @param at where on a curve, "most" for its largest value, or which weighting; empty for a
   *     figure
   */
  private record Row(
      String command,
      String result,
      String channel,
      String at,
      double value,
      String unit,
      double tolerance) {
    static Row of(String line) {
      List<String> cells = List.of(line.split(",", 8));
      return new Row(
          cells.get(0),
          cells.get(1),
          cells.get(2),
          cells.get(3),
          Double.parseDouble(cells.get(4)),
          cells.get(5),
          Double.parseDouble(cells.get(6)));
    }
  }

  @BeforeAll
  static void record() throws Exception {
    Path script = folder.resolve("recordings.py");
    Files.write(script, resource("recordings.py"));
    Process python =
        new ProcessBuilder("python3", script.toString(), folder.toString()).inheritIO().start();
    assertThat(python.waitFor(5, TimeUnit.MINUTES)).as("recordings.py ends").isTrue();
    assertThat(python.exitValue()).isZero();
  }

  private static byte[] resource(String name) throws IOException {
    try (InputStream in = SavedRecordingsIT.class.getResourceAsStream("recordings/" + name)) {
      return Objects.requireNonNull(in, name).readAllBytes();
    }
  }

  private static String wav(String name) {
    return folder.resolve(name + ".wav").toString();
  }

  /** How each kind of recording is measured. */
  private static Cli analyse(String command) {
    List<String> sweep = List.of("--sweep", "20 Hz..20 kHz", "--stimulus", wav("stimulus"));
    List<String> all = new ArrayList<>(List.of("analyze", command));
    switch (command) {
      case "tone" -> {
        all.remove(1);
        all.addAll(List.of(wav("tone"), "--reference", "2"));
      }
      case "spectrum" -> all.add(wav("tone"));
      case "difference-frequency-distortion" -> all.add(wav("difference"));
      case "modulation-distortion" -> all.add(wav("modulation"));
      case "noise", "hum" -> all.add(wav("silence"));
      case "stability" -> all.add(wav("stability"));
      case "square-wave" -> all.add(wav("square"));
      case "distortion-against-power" -> {
        all.addAll(List.of(wav("stairs"), "--stair", "120 ms", "--full-scale", "20 V peak"));
        all.addAll(List.of("--reference", "2", "--reference-full-scale", "1 V peak"));
        all.addAll(List.of("--load", "8 ohm", "--rated", "5 W"));
      }
      case "distortion-against-frequency" -> all.add(wav("steps"));
      case "sweep", "channel-balance" -> {
        all.add(wav("sweep"));
        all.addAll(sweep);
      }
      case "crosstalk" -> {
        all.addAll(List.of(wav("crosstalk"), "--silence", wav("quiet")));
        all.addAll(sweep);
      }
      case "output-impedance" -> {
        all.addAll(List.of(wav("8ohm"), wav("6ohm"), "--aligned"));
        all.addAll(List.of("--first-load", "8 ohm", "--second-load", "6 ohm"));
        all.addAll(sweep);
      }
      case "input-impedance" -> {
        all.addAll(List.of(wav("without"), wav("with"), "--aligned", "--resistor", "47 kohm"));
        all.addAll(sweep);
      }
      default -> throw new IllegalStateException(command);
    }
    all.add("--json");
    return Cli.run(all.toArray());
  }

  @TestFactory
  List<DynamicTest> figuresAreThoseOfSciPy() throws IOException {
    Map<String, List<Row>> byCommand = new TreeMap<>();
    new String(resource("figures.csv"), StandardCharsets.UTF_8)
        .lines()
        .skip(1)
        .map(Row::of)
        .forEach(row -> byCommand.computeIfAbsent(row.command, k -> new ArrayList<>()).add(row));
    assertThat(byCommand).hasSize(15);
    return byCommand.entrySet().stream()
        .map(entry -> DynamicTest.dynamicTest(entry.getKey(), () -> check(entry.getValue())))
        .toList();
  }

  private static void check(List<Row> rows) {
    Cli cli = analyse(rows.get(0).command);
    assertThat(cli.code()).as(cli.err() + cli.out()).isZero();
    for (Row row : rows) {
      JsonNode found = null;
      for (JsonNode result : cli.json().get("results")) {
        String channel = result.get("conditions").path("channel").asText();
        String weighting = result.get("conditions").path("weighting").asText();
        if (result.get("name").asText().equals(row.result)
            && (row.channel.isEmpty() || channel.isEmpty() || channel.equals(row.channel))
            && (weighting.isEmpty() || weighting.equals(row.at))) {
          found = result;
        }
      }
      assertThat(found).as("%s in %s", row, cli.out()).isNotNull();
      assertThat(found.get("unit").asText()).as(row.toString()).isEqualTo(row.unit);
      double value = found.has("value") ? found.get("value").asDouble() : onCurve(found, row);
      assertThat(value).as(row.toString()).isCloseTo(row.value, within(row.tolerance));
    }
  }

  private static double onCurve(JsonNode curve, Row row) {
    if (row.at.equals("most")) {
      return highest(curve, 0, Double.MAX_VALUE);
    }
    double x = Double.parseDouble(row.at);
    // A line stands at one point alone.
    return row.result.endsWith("spectrum") ? highest(curve, 0.99 * x, 1.01 * x) : on(curve, x);
  }

  private static double highest(JsonNode curve, double from, double to) {
    double highest = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < curve.get("x").size(); i++) {
      double x = curve.get("x").get(i).asDouble();
      highest = x < from || x > to ? highest : Math.max(highest, curve.get("y").get(i).asDouble());
    }
    return highest;
  }

  /** On the straight line between a curve's points, over the logarithm of x. */
  private static double on(JsonNode curve, double x) {
    JsonNode xs = curve.get("x");
    int above = 1;
    while (above < xs.size() - 1 && xs.get(above).asDouble() < x) {
      above++;
    }
    double left = xs.get(above - 1).asDouble();
    double part = Math.log(x / left) / Math.log(xs.get(above).asDouble() / left);
    double from = curve.get("y").get(above - 1).asDouble();
    return from + part * (curve.get("y").get(above).asDouble() - from);
  }
}
