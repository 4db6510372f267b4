package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** Plans that take no time to run, with their limits beside them, for the Linnet 12's benches. */
final class SmallPlans {
  private SmallPlans() {}

  /** One reading of a cold unit, whose limits are met: {@code plan.yaml} and its limits. */
  static Path cold(Path folder) throws IOException {
    Files.writeString(
        folder.resolve("limits.yaml"),
        "{limits: cold, product: Linnet 12, revision: B, rule: simple acceptance,"
            + " judge: [{result: hv, low: -1 V, high: 1 V}]}");
    return Files.writeString(
        folder.resolve("plan.yaml"),
        """
        plan: cold
        product: Linnet 12
        revision: B
        serial: 'LN12-[0-9]{3}'
        limits: limits.yaml
        steps:
          - {step: cold, procedure: reading, meter: hv-meter, function: hv, result: hv}
        """);
  }

  /**
   * First power and gain: {@code plan.yaml}, without its limits.
   *
   * @param channel whose gain: left, right or both
   * @param captures which are kept: none, failed or all
   */
  static Path gain(Path folder, String channel, String captures) throws IOException {
    return Files.writeString(
        folder.resolve("plan.yaml"),
        """
        plan: gain only
        product: Linnet 12
        revision: B
        limits: limits.yaml
        captures: %s
        steps:
          - {step: first power, procedure: supply-rise, conditions: {lamps: 2}, meter: hv-meter,
             function: hv, watch: 20 s, on-fail: stop}
          - {step: warm-up, procedure: warm-up, mains: direct, conditions: {point: cathode V3},
             meter: probe-meter, function: dc-voltage, at-least: 30 s, at-most: 120 s}
          - {step: gain, procedure: gain, power: 1 W,
             conditions: {mode: ultralinear, tap: 8 ohm, channel: %s}}
        shut-down:
          - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V,
             give-up-after: 150 s}
        """
            .formatted(captures, channel));
  }

  /**
   * The limits of that plan, {@code limits.yaml}.
   *
   * @param rule "simple acceptance" or "guarded acceptance"
   * @param gain what the gain must hold, such as "low: 20 dB"
   */
  static Path gainLimits(Path folder, String rule, String gain) throws IOException {
    return Files.writeString(
        folder.resolve("limits.yaml"),
        """
        limits: gain only
        product: Linnet 12
        revision: B
        rule: %s
        judge:
          - {result: supply rise settled, low: 250 V, high: 310 V}
          - {result: supply rise, mask: [{at: 2 s, low: 30 V}, {at: 10 s, low: 30 V}]}
          - {result: gain, %s}
        """
            .formatted(rule, gain));
  }
}
