package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import kitproof.driver.SimulatedClock;
import kitproof.event.Verdict;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordStore;
import kitproof.journal.RunRecord;
import kitproof.plugin.DriverLoader;
import kitproof.plugin.Drivers;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What everybody in the trade knows of power and distortion, on the simulated Linnet 12. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class PowerFactsIT {
  private static final Drivers DRIVERS = DriverLoader.load(Path.of("no-such-folder"));
  private static final double RATED = 5;
  @TempDir static Path folder;
  private List<Measurement> measured;

  @BeforeAll
  void measure() throws Exception {
    Files.writeString(
        folder.resolve("plan.yaml"),
        """
        plan: power
        product: Linnet 12
        revision: B
        limits: limits.yaml
        steps:
          - {step: first power, procedure: supply-rise, conditions: {lamps: 2}, meter: hv-meter, function: hv, watch: 30 s, on-fail: stop}
          - {step: warm, procedure: reading, mains: direct, wait: 45 s, meter: hv-meter, function: hv, result: hv}
          - repeat: {mode: [ultralinear], tap: [8 ohm], channel: [both]}
            steps:
              - {step: gain, procedure: gain, power: 5 W}
              - {step: power, procedure: distortion-against-power, powers: 5 mW..20 W, rated: 5 W}
        shut-down:
          - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 60 V, give-up-after: 120 s}
        """);
    Files.writeString(
        folder.resolve("limits.yaml"),
        """
        limits: power
        product: Linnet 12
        revision: B
        rule: simple acceptance
        judge:
          - {result: supply rise settled, low: 200 V, high: 400 V}
          - {result: supply rise, mask: [{at: 2 s, low: 30 V}, {at: 10 s, low: 30 V}]}
        """);
    Prepared prepared =
        Prepared.read(folder.resolve("plan.yaml"), Cli.example("bench-simulated.yaml"), DRIVERS)
            .value();
    UnitRun.Outcome outcome =
        new UnitRun(prepared, DRIVERS)
            .run(
                new RecordStore(folder.resolve("records")),
                "LN12-001",
                "",
                new SimulatedClock(Instant.parse("2026-11-25T08:00:00Z")),
                null);
    RunRecord record = RecordDocument.read(outcome.record());
    assertThat(record.verdict()).as(record.reason()).isEqualTo(Verdict.PASS);
    measured =
        record.steps().stream()
            .flatMap(step -> step.results().stream())
            .map(RunRecord.Result::measurement)
            .toList();
  }

  private Figure figure(String name, String channel) {
    return measured.stream()
        .filter(m -> m.name().equals(name))
        .filter(m -> channel.equals(m.conditions().values().get("channel")))
        .map(Measurement::figure)
        .findFirst()
        .orElseThrow();
  }

  private double number(String name, String channel) {
    return ((Figure.OfQuantity) figure(name, channel)).quantity().value();
  }

  private Curve curve(String name, String channel) {
    return ((Figure.OfCurve) figure(name, channel)).curve();
  }

  /**
   * Common practice, no source: 28.46 dB of gain need half a volt for 20 W in 8 ohm, shown on a
   * device of that gain by DevicesUnderTestIT. The same closed form on the simulated unit, with its
   * own gain and the bench's own loads.
   */
  @ParameterizedTest
  @ValueSource(strings = {"left", "right"})
  void theInputSensitivityFollowsFromTheGain(String channel) {
    double ohms = channel.equals("left") ? 8.02 : 8.01;
    double expected = Math.sqrt(RATED * ohms) / Math.pow(10, number("gain", channel) / 20);
    assertThat(number("input sensitivity", channel)).isCloseTo(expected, within(expected * 0.005));
  }

  /** Common practice, no source: 1 % near two thirds of the power of visible clipping, 3 %. */
  @ParameterizedTest
  @ValueSource(strings = {"left", "right"})
  void onePercentComesNearTwoThirdsOfTheClippingPower(String channel) {
    double share = number("power at 1 %", channel) / number("clipping power", channel);
    assertThat(share).isBetween(0.55, 0.8);
  }

  /** Common practice, no source: noise at first, which falls with power; then distortion rises. */
  @ParameterizedTest
  @ValueSource(strings = {"left", "right"})
  void atLowPowerTheReadingIsNoiseThatFallsThenDistortionTakesOver(String channel) {
    Curve all = curve("thd+n against power", channel);
    Curve harmonics = curve("thd against power", channel);
    int least = 0;
    for (int i = 1; i < all.size(); i++) {
      least = all.y(i) < all.y(least) ? i : least;
    }
    assertThat(all.x(least)).isBetween(0.05, 1.0);
    assertThat(all.y(0)).isGreaterThan(2 * all.y(least)).isGreaterThan(3 * harmonics.y(0));
    int last = all.size() - 1;
    assertThat(all.y(last)).isGreaterThan(100 * all.y(least));
    assertThat(harmonics.y(last)).isCloseTo(all.y(last), within(0.15 * all.y(last)));
    // Noise alone: half the voltage, twice the reading.
    double slope = Math.log(all.y(6) / all.y(0)) / Math.log(all.x(6) / all.x(0));
    assertThat(slope).isCloseTo(-0.5, within(0.12));
  }

  /** Below its lowest readings the station's own residual shows, and the result says so. */
  @Test
  void aCurveThatTheStationLimitsSaysWhere() {
    assertThat(measured)
        .filteredOn(m -> m.name().equals("thd+n against power"))
        .hasSize(2)
        .allSatisfy(m -> assertThat(m.note()).startsWith("limited by the station's own residual"));
  }
}
