package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;

/** The simulated bench beside a calibration, and a plan whose limits are guarded. */
final class GuardedRun {
  private GuardedRun() {}

  /**
   * Runs first power, warm-up and the gain of one channel.
   *
   * @param folder for the plan, its limits and the bench with its calibration
   * @return the record
   */
  static Path of(Path folder, Path records, Object... more) throws IOException {
    Path bench = calibratedBench(folder);
    Path plan =
        Files.writeString(
            folder.resolve("plan.yaml"),
            """
            plan: guarded gain
            product: Linnet 12
            revision: B
            limits: limits.yaml
            steps:
              - {step: first power, procedure: supply-rise, conditions: {lamps: 2}, meter: hv-meter,
                 function: hv, watch: 20 s, on-fail: stop}
              - {step: warm-up, procedure: warm-up, mains: direct, conditions: {point: cathode V3},
                 meter: probe-meter, function: dc-voltage, at-least: 30 s, at-most: 120 s}
              - {step: gain, procedure: gain, power: 1 W,
                 conditions: {mode: ultralinear, tap: 8 ohm, channel: left}}
            shut-down:
              - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V,
                 give-up-after: 150 s}
            """);
    Files.writeString(
        folder.resolve("limits.yaml"),
        "{limits: l, product: Linnet 12, revision: B, rule: guarded acceptance,"
            + " judge: [{result: gain, low: 20 dB, high: 40 dB},"
            + " {result: supply rise settled, low: 250 V, high: 310 V},"
            + " {result: supply rise, mask: [{at: 2 s, low: 30 V}, {at: 10 s, low: 30 V}]}]}");
    Object[] command = {
      "run", plan, "--bench", bench, "--records", records, "--unit", "LN12-001", "--json"
    };
    Cli run = Cli.run(Stream.of(command, more).flatMap(Stream::of).toArray());
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    return Path.of(run.json().get("record").asText());
  }

  private static Path calibratedBench(Path folder) throws IOException {
    StringBuilder text = new StringBuilder("bench: simulated Linnet 12 bench\ndate: 2026-11-26\n");
    text.append("outputs: [{channel: left, full-scale: 2 V, u: 1 mV}]\ninputs:\n");
    for (String range : List.of("20 V", "5 V")) {
      text.append(
          "  - {channel: left, range: range %1$s, full-scale: %1$s, u: 4 mV}\n".formatted(range));
    }
    text.append("paths:\n");
    for (String range : List.of("20 V", "5 V")) {
      text.append("  - channel: left\n    range: range " + range + "\n    points:\n");
      text.append("      - {at: 10 Hz, level: 0 dB, u: 0.01 dB, phase: 0 deg}\n");
      text.append("      - {at: 20 kHz, level: 0 dB, u: 0.01 dB, phase: 0 deg}\n");
    }
    text.append("instruments:\n  hv-meter:\n    accuracy:\n");
    text.append("      - {function: hv, limits: \"±(0.5 % + 3 digits)\", resolution: 0.1 V}\n");
    text.append("resistors: [{route: left 8 ohm tap, resistance: 8 ohm, u: 4 mohm}]\n");
    Files.writeString(folder.resolve("bench.calibration.yaml"), text);
    return Files.copy(Cli.example("bench-simulated.yaml"), folder.resolve("bench.yaml"));
  }
}
