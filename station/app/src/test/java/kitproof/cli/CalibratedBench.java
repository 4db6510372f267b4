package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/**
 * The Linnet 12's simulated bench beside a calibration of its audio interface.
 *
 * @param channels that are calibrated
 * @param output full scale of the left output with its uncertainty: "full-scale: 2 V, u: 1 mV"
 * @param scale full scale of each input, as a part of what its range is called
 * @param inputs uncertainty of those
 * @param low what a path does at 10 Hz: "level: 0 dB, u: 0.01 dB"
 * @param high what it does at 20 kHz
 * @param more sections of the file
 */
record CalibratedBench(
    List<String> channels,
    String output,
    double scale,
    String inputs,
    String low,
    String high,
    String more) {
  private static final List<Double> RANGES = List.of(20.0, 5.0);

  /** Writes {@code bench.yaml} and {@code bench.calibration.yaml}, and returns the former. */
  Path in(Path folder) throws IOException {
    StringBuilder text = new StringBuilder("bench: simulated Linnet 12 bench\ndate: 2026-11-26\n");
    text.append("outputs: [{channel: left, " + output + "}]\ninputs:\n");
    StringBuilder paths = new StringBuilder("paths:\n");
    for (String channel : channels) {
      for (double range : RANGES) {
        String name = "range " + Math.round(range) + " V";
        text.append("  - {channel: " + channel + ", range: " + name);
        text.append(", full-scale: " + range * scale + " V, u: " + inputs + "}\n");
        paths.append("  - channel: " + channel + "\n    range: " + name + "\n    points:\n");
        paths.append("      - {at: 10 Hz, " + low + ", phase: 0 deg}\n");
        paths.append("      - {at: 20 kHz, " + high + ", phase: 0 deg}\n");
      }
    }
    Files.writeString(folder.resolve("bench.calibration.yaml"), text.append(paths).append(more));
    return Files.copy(Cli.example("bench-simulated.yaml"), folder.resolve("bench.yaml"));
  }
}
