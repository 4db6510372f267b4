package kitproof.peers;

import static org.awaitility.Awaitility.await;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Duration;
import kitproof.peer.ModbusSlave;
import kitproof.peer.PtyPair;
import kitproof.peer.ScpiPeer;

/** A meter and a relay board on serial lines with a unit's supply between them, and a scene. */
final class SerialBench implements AutoCloseable {
  /** Minutes of readings at full mains, the third step of four. */
  static final String LONG_READING =
      """
        - {step: HV rail, procedure: reading, mains: direct, meter: hv-meter, function: hv, result: hv}
        - {step: long reading, procedure: reading, meter: hv-meter, function: hv, result: hv soak, count: 6000, every: 50 ms}
      """;

  /** A good rise, a short in which is seen before its end. */
  static final String RISE =
      """
        - {result: supply rise settled, low: 200 V, high: 290 V}
        - {result: supply rise, mask: [{at: 700 ms, low: 100 V}, {at: 1 s, low: 100 V}]}
      """;

  private static final int WATCHDOG = 16;

  final PtyPair meterCable = PtyPair.open();
  final PtyPair relayCable = PtyPair.open();
  final ScpiPeer meter = ScpiPeer.onPty(meterCable.far());
  final ModbusSlave slave;
  final Scene scene;
  private final Rail rail;
  private final String steps;

  /**
   * Plugs it together; the plan is: first power, these steps, discharge.
   *
   * @param more roles beside the meter and the relays
   */
  SerialBench(Path folder, String more, String steps) throws Exception {
    this(folder, more, steps, "");
  }

  private SerialBench(Path folder, String more, String steps, String settings) throws Exception {
    slave =
        settings.contains("watchdog")
            ? ModbusSlave.withWatchdog(relayCable.far(), WATCHDOG)
            : ModbusSlave.on(relayCable.far());
    rail = new Rail(slave::coilsOn, 0, volts -> meter.value("VOLT:DC", volts));
    scene =
        new Scene(folder)
            .bench(
                "roles:\n"
                    + Roles.modbusRelays(relayCable.near() + settings)
                    + Roles.impatientMeter(meterCable.near())
                    + more);
    this.steps = steps;
    powered();
  }

  /** Writes the plan with power, and its limits. */
  void powered() throws IOException {
    scene
        .plan(
            """
            steps:
              - {step: first power, procedure: supply-rise, meter: hv-meter, function: hv, watch: 1 s, every: 100 ms, on-fail: stop}
            %s\
            shut-down:
              - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V, give-up-after: 30 s, every: 100 ms}
            """
                .formatted(steps))
        .limits(RISE);
  }

  /** The same, whose relay board releases everything a second after it was last told to wait. */
  static SerialBench withWatchdog(Path folder, String steps) throws Exception {
    String setting = ", watchdog: {register: " + WATCHDOG + ", value: 10, every: 100 ms}";
    return new SerialBench(folder, "", steps, setting);
  }

  /** The same, whose relay board's replies are waited for no longer than a quarter of a second. */
  static SerialBench impatientWithRelays(Path folder, String steps) throws Exception {
    return new SerialBench(folder, "", steps, ", timeout: 250 ms");
  }

  /** The same, whose meter also reads the ripple (VOLT:AC), which stays at 0 V by itself. */
  static SerialBench withRipple(Path folder, String steps) throws Exception {
    return withRipple(folder, steps, "");
  }

  /** Likewise; the relay board's settings have these besides. */
  static SerialBench withRipple(Path folder, String steps, String settings) throws Exception {
    SerialBench bench = new SerialBench(folder, "", steps);
    bench.scene.bench(
        "roles:\n"
            + Roles.modbusRelays(bench.relayCable.near() + settings)
            + Roles.impatientMeter(bench.meterCable.near())
            + "        ripple: {configure: \"CONF:VOLT:AC 100\", unit: V}\n");
    return bench;
  }

  /** From now on the program runs in the test's own process, where it starts sooner. */
  SerialBench inside() {
    scene.inside();
    return this;
  }

  /** From now on the unit's HV rail is shorted. */
  void shortTheRail() {
    rail.shorted();
  }

  /** Starts a run of a plan with a step called "long reading" and returns when that has begun. */
  Program startLongReading(String unit) throws IOException {
    Program program = scene.start(unit);
    program.awaitPrinted("  long reading");
    return program;
  }

  /** Waits until a relay is energised at the board. */
  void awaitRelay(Program program, int coil) {
    await()
        .atMost(Duration.ofSeconds(60))
        .pollInterval(Duration.ofMillis(20))
        .until(() -> slave.coilsOn().contains(coil) || !program.isAlive());
  }

  @Override
  public void close() throws InterruptedException {
    rail.close();
    slave.close();
    meter.close();
    relayCable.close();
    meterCable.close();
  }
}
