package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
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
    Path plan = SmallPlans.gain(folder, "left", "none");
    SmallPlans.gainLimits(folder, "guarded acceptance", "low: 20 dB, high: 40 dB");
    Object[] command = {
      "run", plan, "--bench", bench, "--records", records, "--unit", "LN12-001", "--json"
    };
    Cli run = Cli.run(Stream.of(command, more).flatMap(Stream::of).toArray());
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    return Path.of(run.json().get("record").asText());
  }

  private static Path calibratedBench(Path folder) throws IOException {
    return new CalibratedBench(
            List.of("left"),
            "full-scale: 2 V, u: 1 mV",
            1,
            "4 mV",
            "level: 0 dB, u: 0.01 dB",
            "level: 0 dB, u: 0.01 dB",
            """
            instruments:
              hv-meter:
                accuracy:
                  - {function: hv, limits: "±(0.5 % + 3 digits)", resolution: 0.1 V}
            resistors: [{route: left 8 ohm tap, resistance: 8 ohm, u: 4 mohm}]
            """)
        .in(folder);
  }
}
