package kitproof.cli;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.io.TempDir;

/** Short runs that keep their captures. */
abstract class CaptureScene {
  static final Path BENCH = Cli.example("bench-simulated.yaml");

  @TempDir Path folder;

  Path limits(String gain) throws IOException {
    return SmallPlans.gainLimits(folder, "simple acceptance", gain);
  }

  /** First power, and the gain of both channels, which is judged good. */
  static Path shortPlan(Path folder, String captures) throws IOException {
    SmallPlans.gainLimits(folder, "simple acceptance", "low: 20 dB");
    return SmallPlans.gain(folder, "both", captures);
  }

  Cli run(Path plan, Path records) {
    return Cli.run(
        "run", plan, "--bench", BENCH, "--records", records, "--unit", "LN12-001", "--json");
  }

  static Path record(Cli run) {
    return Path.of(run.json().get("record").asText());
  }

  static List<Path> wavs(Path records) throws IOException {
    if (!Files.exists(records.resolve("captures"))) {
      return List.of();
    }
    try (Stream<Path> all = Files.walk(records.resolve("captures"))) {
      return all.filter(Files::isRegularFile).sorted().toList();
    }
  }

  static Cli again(Path record, Path plan) {
    return Cli.run("analyze", "record", record, "--plan", plan, "--bench", BENCH, "--json");
  }

  /** Judged under the limits that are in the folder now, with these options more. */
  Cli rejudge(Path records, Object... more) {
    List<Object> words =
        new ArrayList<>(
            List.of("rejudge", "--limits", folder.resolve("limits.yaml"), "--records", records));
    words.addAll(List.of(more));
    return Cli.run(words.toArray());
  }

  static double left(Cli analysed, String of) {
    for (JsonNode result : analysed.json().get("results")) {
      if (result.get("name").asText().equals("gain")
          && result.get("conditions").get("channel").asText().equals("left")) {
        return result.get(of).asDouble();
      }
    }
    throw new AssertionError("no gain in " + analysed.out());
  }
}
