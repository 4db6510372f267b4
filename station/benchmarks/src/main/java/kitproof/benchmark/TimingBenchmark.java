package kitproof.benchmark;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Map;
import kitproof.journal.Journal;
import kitproof.journal.RecordStore;
import kitproof.limit.LimitFile;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.plugin.DriverLoader;
import kitproof.run.Deadlines;
import kitproof.run.RunRequest;
import kitproof.run.Sequencer;
import kitproof.run.Timing;

/**
 * What the station's own computing adds to signal and settling time, on the simulated bench in real
 * time: the audio measurements of one mode and tap, both channels at once, the journal on disk.
 *
 * <p>The simulated amplifier is computed inside the interface's calls and is not the station's.
 */
public final class TimingBenchmark {
  private static final String PLAN =
      """
      plan: audio of one tap
      product: Linnet 12
      revision: B
      limits: limits.yaml
      steps:
        - {step: first power, procedure: supply-rise, meter: hv-meter, function: hv, watch: 10 s, on-fail: stop}
        - {step: warm, procedure: reading, mains: direct, wait: 5 s, meter: hv-meter, function: hv, result: hv}
        - repeat: {mode: [ultralinear], tap: [8 ohm], channel: [both]}
          steps:
            - {step: gain, procedure: gain, power: 0.2 W}
            - {step: response, procedure: frequency-response, power: 0.2 W, sweep: 3 s}
            - {step: distortion, procedure: distortion, power: 0.2 W}
            - {step: against power, procedure: distortion-against-power, powers: 20 mW..1 W}
            - {step: against frequency, procedure: distortion-against-frequency, power: 0.2 W}
      shut-down:
        - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 60 V, give-up-after: 1 s}
      """;

  private static final String LIMITS =
      """
      limits: audio of one tap
      product: Linnet 12
      revision: B
      rule: simple acceptance
      judge:
        - {result: supply rise peak, high: 450 V}
      """;

  private TimingBenchmark() {}

  public static void main(String[] arguments) throws IOException {
    Path folder = Files.createTempDirectory("kitproof-timing");
    Files.writeString(folder.resolve("plan.yaml"), PLAN);
    Files.writeString(folder.resolve("limits.yaml"), LIMITS);
    Files.writeString(
        folder.resolve("bench.yaml"),
        Files.readString(Path.of(arguments[0])).replace("time: simulated", "time: real"));
    Plan plan = PlanReader.read(folder.resolve("plan.yaml")).value();
    Bench bench = BenchReader.read(folder.resolve("bench.yaml")).value();
    LimitFile limits = LimitFile.read(folder.resolve("limits.yaml")).value();
    RealTime clock = new RealTime();
    RecordStore store = new RecordStore(folder.resolve("records"));
    try (Journal journal = store.begin("timing", clock::now)) {
      Sequencer sequencer =
          new Sequencer(
              new RunRequest(
                  "timing",
                  "LN12-001",
                  "",
                  plan,
                  bench,
                  limits,
                  Map.of(),
                  DriverLoader.load(folder.resolve("none")).byId(),
                  journal,
                  clock,
                  System::nanoTime,
                  Deadlines.USUAL));
      System.out.println("run on the simulated bench in real time: " + sequencer.run());
      tell(sequencer.timing());
    }
  }

  private static void tell(Timing timing) {
    double playing =
        (timing.real(Timing.Part.SIGNAL).toNanos() + timing.real(Timing.Part.SETTLING).toNanos())
            / 1e9;
    for (Timing.Part part : Timing.Part.values()) {
      System.out.printf(Locale.ROOT, "  %-30s %8.3f s%n", part, timing.real(part).toNanos() / 1e9);
    }
    double computing = timing.computing().toNanos() / 1e9;
    System.out.printf(Locale.ROOT, "  %-30s %8.3f s%n", "computing", computing);
    System.out.printf(
        Locale.ROOT,
        "computing over signal and settling: %.2f %% (goal: below 3 %%)%n",
        100 * computing / playing);
  }
}
