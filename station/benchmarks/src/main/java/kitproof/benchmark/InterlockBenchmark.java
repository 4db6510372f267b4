package kitproof.benchmark;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.function.BooleanSupplier;
import java.util.stream.Stream;
import kitproof.peer.ModbusSlave;
import kitproof.peer.PtyPair;
import kitproof.peer.ScpiPeer;

/**
 * From a value out of an interlock's band at the meter to the mains relay released at the board:
 * the whole program, both instruments on serial lines, a step reading the same meter as fast as it
 * can. Against the time the plan states.
 *
 * <p>Argument: the class path.
 */
public final class InterlockBenchmark {
  private static final int RUNS = 7;
  private static final double STATED_SECONDS = 1;
  private static final int MAINS = 0;
  private static final int BYPASS = 1;
  private static final long PATIENCE_NANOS = 60_000_000_000L;

  private static final String BENCH =
      """
      bench: benchmark
      roles:
        relays:
          driver: relay-switcher
          kind: switcher
          settings: {line: %s, protocol: modbus-rtu, baud: 19200, timeout: 200 ms, relays: {K1: 0, K2: 1}}
          routes:
            mains off:     {group: mains, purpose: mains-off}
            mains limited: {group: mains, purpose: mains-limited, relays: [K1]}
            mains direct:  {group: mains, purpose: mains-direct, relays: [K1, K2]}
        hv-meter:
          driver: serial-meter
          kind: meter
          settings:
            line: %s
            functions:
              hv: {configure: "CONF:VOLT:DC 1000", unit: V}
      """;

  private static final String PLAN =
      """
      plan: benchmark
      product: Linnet 12
      revision: B
      limits: limits.yaml
      interlocks:
        - {interlock: HV rail, meter: hv-meter, function: hv, high: 400 V, within: 1 s, every: 100 ms, mains: direct}
      steps:
        - {step: first power, procedure: supply-rise, meter: hv-meter, function: hv, watch: 1 s, every: 100 ms, on-fail: stop}
        - {step: soak, procedure: reading, mains: direct, meter: hv-meter, function: hv, result: hv, count: 6000, every: 10 ms}
      shut-down:
        - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V, give-up-after: 1 s}
      """;

  private static final String LIMITS =
      """
      limits: benchmark
      product: Linnet 12
      revision: B
      rule: simple acceptance
      judge:
        - {result: supply rise settled, low: 200 V, high: 390 V}
        - {result: supply rise, mask: [{at: 500 ms, low: 100 V}, {at: 1 s, low: 100 V}]}
      """;

  private InterlockBenchmark() {}

  public static void main(String[] arguments) throws IOException, InterruptedException {
    Path folder = Files.createTempDirectory("kitproof-benchmark");
    try (PtyPair meterCable = PtyPair.open();
        PtyPair relayCable = PtyPair.open();
        ScpiPeer meter = ScpiPeer.onPty(meterCable.far());
        ModbusSlave relays = ModbusSlave.on(relayCable.far())) {
      Files.writeString(
          folder.resolve("bench.yaml"),
          String.format(Locale.ROOT, BENCH, relayCable.near(), meterCable.near()));
      Files.writeString(folder.resolve("plan.yaml"), PLAN);
      Files.writeString(folder.resolve("limits.yaml"), LIMITS);
      double[] seconds = new double[RUNS];
      for (int i = 0; i < RUNS; i++) {
        seconds[i] = once(arguments[0], folder, "LN12-10" + i, meter, relays);
      }
      Arrays.sort(seconds);
      System.out.printf(
          Locale.ROOT,
          "interlock: value out of band to mains off on the wire, median %.0f ms, longest %.0f ms;"
              + " ratio longest/stated %.2f%n",
          seconds[RUNS / 2] * 1e3,
          seconds[RUNS - 1] * 1e3,
          seconds[RUNS - 1] / STATED_SECONDS);
    } finally {
      try (Stream<Path> files = Files.walk(folder)) {
        for (Path file : files.sorted(Comparator.reverseOrder()).toList()) {
          Files.deleteIfExists(file);
        }
      }
    }
  }

  private static double once(
      String classPath, Path folder, String unit, ScpiPeer meter, ModbusSlave relays)
      throws IOException, InterruptedException {
    meter.value("VOLT:DC", 330);
    Process program =
        new ProcessBuilder(
                List.of(
                    System.getProperty("java.home") + "/bin/java",
                    "-XX:+UseSerialGC",
                    "-cp",
                    classPath,
                    "kitproof.cli.Main",
                    "run",
                    "--uncalibrated",
                    folder.resolve("plan.yaml").toString(),
                    "--bench",
                    folder.resolve("bench.yaml").toString(),
                    "--unit",
                    unit,
                    "--records",
                    folder.resolve("records").toString()))
            .redirectErrorStream(true)
            .redirectOutput(folder.resolve("printed.txt").toFile())
            .start();
    try {
      await(program, () -> relays.coilsOn().contains(BYPASS));
      Thread.sleep(700); // into the soak
      long began = System.nanoTime();
      meter.value("VOLT:DC", 455);
      await(program, () -> !relays.coilsOn().contains(MAINS));
      return (System.nanoTime() - began) / 1e9;
    } finally {
      meter.value("VOLT:DC", 0); // discharged
      int code = program.waitFor();
      if (code != 3) {
        throw new IOException(
            "ended with " + code + ":\n" + Files.readString(folder.resolve("printed.txt")));
      }
    }
  }

  private static void await(Process program, BooleanSupplier condition)
      throws IOException, InterruptedException {
    long end = System.nanoTime() + PATIENCE_NANOS;
    while (!condition.getAsBoolean()) {
      if (!program.isAlive() || System.nanoTime() > end) {
        program.destroyForcibly();
        throw new IOException("the program did not come so far");
      }
      Thread.sleep(1);
    }
  }
}
