package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.Alone;
import kitproof.peer.ModbusSlave;
import kitproof.peer.Mosquitto;
import kitproof.peer.Mosquitto.Received;
import kitproof.peer.Mosquitto.Subscriber;
import kitproof.peer.PtyPair;
import kitproof.peer.ScpiPeer;
import kitproof.peer.SoundServer;
import kitproof.value.Conditions;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A run whose meter and relays are on serial ports, whose audio is on a sound device with an
 * attenuator in it and whose broker is Mosquitto, all at once.
 */
@Alone
class WholeBenchIT {
  private static final Duration LONG = Duration.ofSeconds(60);

  /** A tenth of what is played, with 40 V for what was 2 V: 6.02 dB. */
  private static final double GAIN = 20 * Math.log10(0.1 * 40 / 2);

  @TempDir private Path folder;
  private Scene scene;

  @BeforeEach
  void plan() throws Exception {
    scene =
        new Scene(folder)
            .plan(
                """
                steps:
                  - {step: first power, procedure: supply-rise, meter: hv-meter, function: hv, watch: 3 s, every: 100 ms, on-fail: stop}
                  - {step: HV rail, procedure: reading, mains: direct, wait: 3 s, meter: hv-meter, function: hv, result: hv, count: 3}
                  - {step: gain, procedure: gain, conditions: {channel: right, tap: 8 ohm}, power: 0.5 W}
                  - {step: gain, procedure: gain, conditions: {channel: left, tap: 4 ohm}, power: 0.5 W}
                  - {step: distortion, procedure: distortion, conditions: {channel: left, tap: 8 ohm}, power: 0.5 W}
                shut-down:
                  - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V, give-up-after: 30 s, every: 100 ms}
                """);
  }

  /** What must be measured, but for the lowest gain. */
  private void limits(String lowestGain) throws Exception {
    scene.limits(
        """
          - {result: supply rise settled, low: 270 V, high: 290 V}
          - {result: supply rise, mask: [{at: 2 s, low: 100 V}, {at: 3 s, low: 100 V}]}
          - {result: hv, low: 325 V, high: 335 V}
          - {result: gain, low: %s, high: 6.04 dB}
          - {result: thd+n, high: 0.01 %%}
          - {result: discharge time constant, low: 0.3 s, high: 0.8 s}
          - {result: discharge time to safe, high: 10 s}
        """
            .formatted(lowestGain));
  }

  @Test
  @DisplayName(
      "A good unit passes, the verdict reaches a client, and the slave's coils are at rest")
  void pass() throws Exception {
    limits("6.00 dB");
    try (PtyPair meterCable = PtyPair.open();
        PtyPair relayCable = PtyPair.open();
        ScpiPeer meter = ScpiPeer.onPty(meterCable.far());
        ModbusSlave slave = ModbusSlave.on(relayCable.far());
        Rail rail = new Rail(slave::coilsOn, 0, volts -> meter.value("VOLT:DC", volts));
        SoundServer server = SoundServer.start();
        Mosquitto broker = Mosquitto.open(folder.resolve("broker")).start();
        Subscriber subscriber = broker.subscribe("kitproof/#")) {
      server.insert("amp", "amp_mono", 0.1);
      scene
          .bench(
              "roles:\n"
                  + Roles.modbusRelays(relayCable.near())
                  + Roles.meter(meterCable.near())
                  + Roles.audio())
          .broker(broker.port());

      RunRecord record = scene.run("LN12-001", Verdict.PASS);

      assertThat(Results.value(record, "supply rise settled"))
          .isCloseTo(Rail.LIMITED_VOLTS, within(5.0));
      assertThat(Results.value(record, "hv")).isCloseTo(Rail.FULL_VOLTS, within(2.0));
      assertThat(Results.value(record, "gain", Conditions.of("channel", "right")))
          .isCloseTo(GAIN, within(0.001));
      assertThat(Results.value(record, "gain", Conditions.of("channel", "left")))
          .isCloseTo(GAIN, within(0.001));
      assertThat(Results.value(record, "discharge time constant"))
          .isCloseTo(Rail.TIME_CONSTANT_SECONDS, within(0.15));
      assertThat(slave.coilsOn()).isEmpty();
      assertSwitchedInOrder(slave.history());
      assertPublished(record, subscriber, "pass");
      try (Subscriber late = broker.subscribe("kitproof/1/attic/unit/+/+")) {
        List<Received> kept = late.await(received -> !received.isEmpty(), LONG);
        assertThat(kept).hasSize(1);
        assertThat(kept.get(0).retained()).isTrue();
        assertThat(kept.get(0).topic()).endsWith("/LN12-001");
        assertThat(Messages.text(kept.get(0), "verdict")).isEqualTo("pass");
      }
    }
  }

  @Test
  @DisplayName("A unit below its limit fails, with relays that speak SCPI over TCP")
  void fail() throws Exception {
    limits("6.03 dB");
    try (PtyPair meterCable = PtyPair.open();
        ScpiPeer meter = ScpiPeer.onPty(meterCable.far());
        ScpiPeer relays = ScpiPeer.onTcp();
        Rail rail = new Rail(relays::channelsClosed, 101, v -> meter.value("VOLT:DC", v));
        SoundServer server = SoundServer.start();
        Mosquitto broker = Mosquitto.open(folder.resolve("broker")).start();
        Subscriber subscriber = broker.subscribe("kitproof/#")) {
      server.insert("amp", "amp_mono", 0.1);
      scene
          .bench(
              "roles:\n"
                  + Roles.scpiRelays(relays.port())
                  + Roles.meter(meterCable.near())
                  + Roles.audio())
          .broker(broker.port());

      RunRecord record = scene.run("LN12-002", Verdict.FAIL);

      assertThat(record.failed()).hasSize(2).allMatch(title -> title.startsWith("gain ("));
      assertThat(Results.value(record, "gain", Conditions.of("channel", "right")))
          .isCloseTo(GAIN, within(0.001));
      assertThat(Results.value(record, "discharge time to safe")).isNotNegative();
      assertThat(relays.channelsClosed()).isEmpty();
      assertThat(relays.received())
          .containsSubsequence("CLOS (@101)", "CLOS (@102)", "CLOS (@104)", "CLOS (@103)");
      assertPublished(record, subscriber, "fail");
    }
  }

  /** First power through the limiter; the drive always muted before a load moves; all at rest. */
  private static void assertSwitchedInOrder(List<Set<Integer>> coils) {
    Set<Integer> direct = Set.of(Rail.MAINS, Rail.LIMITER_BYPASS);
    assertThat(coils)
        .containsExactly(
            Set.of(),
            Set.of(Rail.MAINS),
            direct,
            Set.of(Rail.MAINS, Rail.LIMITER_BYPASS, Rail.DRIVE_RIGHT),
            direct,
            Set.of(Rail.MAINS, Rail.LIMITER_BYPASS, Rail.LEFT_4_OHM),
            Set.of(Rail.MAINS, Rail.LIMITER_BYPASS, Rail.LEFT_4_OHM, Rail.DRIVE_LEFT),
            Set.of(Rail.MAINS, Rail.LIMITER_BYPASS, Rail.LEFT_4_OHM),
            direct,
            Set.of(Rail.MAINS, Rail.LIMITER_BYPASS, Rail.DRIVE_LEFT),
            direct,
            Set.of());
  }

  /** Every entry of the record, in order, and the verdict. */
  private static void assertPublished(RunRecord record, Subscriber subscriber, String verdict) {
    String last = record.run() + "/" + (record.events().size() - 1) + "/unit";
    List<Received> received = subscriber.await(r -> Messages.ids(r).contains(last), LONG);
    assertThat(Messages.ofRun(received, record.run())).isEqualTo(Messages.all(record));
    Map<String, Long> results = Messages.countByTopicEnd(received);
    assertThat(results.get("result"))
        .isEqualTo(record.steps().stream().mapToLong(s -> s.results().size()).sum());
    Received told =
        received.stream()
            .filter(m -> Messages.text(m, "id").equals(last))
            .findFirst()
            .orElseThrow();
    assertThat(told.topic()).isEqualTo("kitproof/1/attic/unit/Linnet 12/" + record.unit());
    assertThat(Messages.text(told, "verdict")).isEqualTo(verdict);
  }
}
