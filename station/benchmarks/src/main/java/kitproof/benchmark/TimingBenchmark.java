package kitproof.benchmark;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import kitproof.driver.BenchClock;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.RealClock;
import kitproof.event.Verdict;
import kitproof.journal.Journal;
import kitproof.journal.RecordStore;
import kitproof.limit.LimitFile;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.plan.PlanStep;
import kitproof.plugin.DriverLoader;
import kitproof.run.Deadlines;
import kitproof.run.RunRequest;
import kitproof.run.Sequencer;
import kitproof.run.Times;
import kitproof.run.Timing;
import kitproof.value.Conditions;

/**
 * What the station's own computing adds to signal and settling time, on the simulated bench in real
 * time: every audio step that the Linnet's plan has for one mode and tap, both channels at once,
 * the journal on disk.
 *
 * <p>The simulated amplifier is computed inside the interface's calls and is not the station's.
 */
public final class TimingBenchmark {
  /** Mode and tap that are measured. */
  private static final Conditions UNDER = Conditions.of("mode", "ultralinear").with("tap", "8 ohm");

  /**
   * What comes before and after the audio steps of the Linnet's own plan, in less time than there.
   */
  private static final String PLAN =
      """
      plan: audio of one mode and tap
      product: Linnet 12
      revision: B
      limits: limits.yaml
      steps:
        - {step: first power, procedure: supply-rise, conditions: {lamps: 2}, meter: hv-meter, function: hv, watch: 10 s, on-fail: stop}
        - {step: warm, procedure: reading, mains: direct, wait: 25 s, meter: hv-meter, function: hv, result: hv}
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
        - {result: supply rise, mask: [{at: 2 s, low: 30 V}, {at: 10 s, low: 30 V}]}
      """;

  private TimingBenchmark() {}

  public static void main(String[] arguments) throws IOException {
    Path folder = Files.createTempDirectory("kitproof-timing");
    Files.writeString(folder.resolve("plan.yaml"), PLAN);
    Files.writeString(folder.resolve("limits.yaml"), LIMITS);
    String bench = Files.readString(Path.of(arguments[0]));
    Plan linnet = PlanReader.read(Path.of(arguments[0]).resolveSibling("plan.yaml")).value();
    Files.writeString(folder.resolve("simulated.yaml"), bench);
    Files.writeString(folder.resolve("real.yaml"), bench.replace("time: simulated", "time: real"));
    // A batch's first unit also waits for the virtual machine to find out what to compile.
    run(folder, linnet, "simulated", new SimulatedClock(Instant.now()));
    ThreadMXBean threads = ManagementFactory.getThreadMXBean();
    long before = threads.getCurrentThreadCpuTime();
    Timing timing = run(folder, linnet, "real", new RealClock());
    double processor = (threads.getCurrentThreadCpuTime() - before) / 1e9;
    tell(timing, processor);
    System.out.printf(
        Locale.ROOT,
        "load of the machine over the last minute, on %d processors: %.2f%n",
        Runtime.getRuntime().availableProcessors(),
        ManagementFactory.getOperatingSystemMXBean().getSystemLoadAverage());
  }

  /** The steps that listen under one mode and tap, as the Linnet's plan has them. */
  private static Plan audio(Plan linnet, Plan around) {
    List<PlanStep> steps = new ArrayList<>(around.steps());
    linnet.steps().stream()
        .filter(step -> step.outline().listens() && step.conditions().satisfy(UNDER))
        .forEach(steps::add);
    return new Plan(
        around.name(),
        around.product(),
        around.revision(),
        around.serial(),
        around.limits(),
        steps,
        around.shutDown(),
        around.interlocks(),
        around.source());
  }

  private static Timing run(Path folder, Plan linnet, String name, BenchClock clock)
      throws IOException {
    Plan plan = audio(linnet, PlanReader.read(folder.resolve("plan.yaml")).value());
    Bench bench = BenchReader.read(folder.resolve(name + ".yaml")).value();
    LimitFile limits = LimitFile.read(folder.resolve("limits.yaml")).value();
    RecordStore store = new RecordStore(folder.resolve("records"));
    try (Journal journal = store.begin(name, clock::now)) {
      Sequencer sequencer =
          new Sequencer(
              new RunRequest(
                  name,
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
      Verdict verdict = sequencer.run();
      if (verdict != Verdict.PASS) {
        throw new IllegalStateException("the run is no measure of anything: " + verdict);
      }
      return sequencer.timing();
    }
  }

  private static void tell(Timing timing, double processorSeconds) {
    System.out.println("audio of one mode and tap on the simulated bench, in real time (seconds)");
    System.out.printf(
        Locale.ROOT,
        "  %-46s %8s %9s %10s %10s %10s%n",
        "step",
        "signal",
        "settling",
        "interface",
        "switching",
        "computing");
    Times audio = Times.NONE;
    for (Timing.StepTimes step : timing.steps()) {
      if (!step.times().real(Timing.Part.SIGNAL).isZero()) {
        tell(step.step(), step.times());
        audio = audio.plus(step.times());
      }
    }
    tell("all of these", audio);
    System.out.printf(
        Locale.ROOT,
        "computing over signal and settling: %.2f %% by the clock, %.2f %% as processor time of the"
            + " run's thread alone (not of those that analyse meanwhile); with what the interface"
            + " takes beyond the signal %.2f %% (goal: below 3 %%)%n",
        100 * seconds(audio.computing()) / playing(audio),
        100 * processorSeconds / playing(audio),
        100 * seconds(audio.computing().plus(audio.real(Timing.Part.INTERFACE))) / playing(audio));
  }

  private static void tell(String what, Times times) {
    System.out.printf(
        Locale.ROOT,
        "  %-46s %8.3f %9.3f %10.3f %10.3f %10.3f%n",
        what,
        seconds(times.real(Timing.Part.SIGNAL)),
        seconds(times.real(Timing.Part.SETTLING)),
        seconds(times.real(Timing.Part.INTERFACE)),
        seconds(times.real(Timing.Part.SWITCHING)),
        seconds(times.computing()));
  }

  private static double playing(Times times) {
    return seconds(times.real(Timing.Part.SIGNAL)) + seconds(times.real(Timing.Part.SETTLING));
  }

  private static double seconds(Duration duration) {
    return duration.toNanos() / 1e9;
  }
}
