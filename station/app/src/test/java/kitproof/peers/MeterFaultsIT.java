package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.Set;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.peer.ScpiPeer;
import org.junit.jupiter.api.Test;

/** Faults of the meter on the HV rail. */
class MeterFaultsIT extends FaultRows {
  private static final int GARBLED = 3;
  private static final int EXCHANGED = 10;
  private static final double BEYOND_ANY_RANGE = 5_000;

  /** Two seconds of readings of the ripple at full mains. */
  private static final String RIPPLE =
      """
        - {step: HV rail, procedure: reading, mains: direct, meter: hv-meter, function: hv, result: hv}
        - {step: long reading, procedure: reading, meter: hv-meter, function: ripple, result: ripple, count: 40, every: 50 ms}
      """;

  private static final String INTERLOCKED =
      SerialBench.LONG_READING
          + """
          interlocks:
            - {interlock: ripple, meter: hv-meter, function: ripple, high: 5 V, within: 3 s, every: 200 ms, mains: direct}
          """;

  MeterFaultsIT() {
    super(FaultTable.Section.METER);
  }

  /** Which of its questions a fault meets, and what is said of noise, is chance. */
  @Override
  String seen(RunRecord record) {
    String seen = super.seen(record).replaceAll(", (READ|SYST:ERR|\\*IDN)\\?: ", ", …: ");
    if (record.unit().equals(unit(GARBLED))) {
      assertThat(seen).contains("“hv-meter: ");
      return seen.replaceAll("“.*”", "“hv-meter: …”");
    }
    if (record.unit().equals(unit(EXCHANGED))) {
      return seen + "; discharge: “" + FaultTable.plain(record.steps().get(3).reason()) + "”";
    }
    return seen;
  }

  @Test
  void meterUnplugged() throws Exception {
    wire(
        1,
        "meter unplugged while reading",
        HV_UNKNOWN,
        Verdict.ERROR,
        (bench, program) -> bench.meterCable.unplug());
  }

  @Test
  void meterSilent() throws Exception {
    wire(
        2,
        "meter silent",
        HV_UNKNOWN,
        Verdict.ERROR,
        (bench, program) -> bench.meter.failAlways(ScpiPeer.Fault.SILENT));
  }

  @Test
  void meterGarbled() throws Exception {
    wire(
        GARBLED,
        "meter garbled",
        HV_UNKNOWN,
        Verdict.ERROR,
        (bench, program) -> bench.meter.failAlways(ScpiPeer.Fault.GARBLED));
  }

  @Test
  void meterHalf() throws Exception {
    wire(
        4,
        "meter breaks off in the middle of its answers",
        HV_UNKNOWN,
        Verdict.ERROR,
        (bench, program) -> bench.meter.failAlways(ScpiPeer.Fault.HALF));
  }

  @Test
  void meterLate() throws Exception {
    wire(
        5,
        "meter answers one question late, after the deadline",
        ERROR,
        Verdict.ERROR,
        (bench, program) -> bench.meter.failOnce(ScpiPeer.Fault.LATE, 0, 1.6));
  }

  @Test
  void meterSlow() throws Exception {
    wire(
        6,
        "meter sends one answer slowly, beyond the deadline",
        ERROR,
        Verdict.ERROR,
        (bench, program) -> bench.meter.failOnce(ScpiPeer.Fault.SLOW, 0, 2.5));
  }

  @Test
  void meterSaysNo() throws Exception {
    RunRecord record =
        wire(
            9,
            "meter answers with an error of its own",
            ERROR,
            Verdict.ERROR,
            (bench, program) -> bench.meter.error(-310, "System error"));
    assertThat(record.reason()).contains("-310 System error");
    assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.YES);
  }

  @Test
  void oneAnswerLost() throws Exception {
    RunRecord record =
        wire(
            55,
            "meter's answer lost once",
            ERROR + ": what is asked again is another reading, later",
            Verdict.ERROR,
            (bench, program) -> bench.meter.failOnce(ScpiPeer.Fault.SILENT, 0, 0));
    assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.YES);
  }

  @Test
  void meterOverloaded() throws Exception {
    wire(
        7,
        "meter answers with overload in the middle of a reading, no interlock on it",
        "fail: the meter is well, what it is on is beyond its range; no figure is made of it, and a"
            + " limit without a figure is not met",
        Verdict.FAIL,
        own -> {
          SerialBench bench = SerialBench.withRipple(own, RIPPLE);
          bench.scene.limits(SerialBench.RISE + "  - {result: ripple, high: 5 V}\n");
          return bench;
        },
        (bench, program) -> bench.meter.value("VOLT:AC", BEYOND_ANY_RANGE));
  }

  @Test
  void meterOverloadedUnderAnInterlock() throws Exception {
    RunRecord record =
        wire(
            8,
            "meter answers with overload to an interlock",
            "aborted within the interlock's time, mains off, discharge watched",
            Verdict.ABORTED,
            own -> SerialBench.withRipple(own, INTERLOCKED),
            (bench, program) -> bench.meter.value("VOLT:AC", BEYOND_ANY_RANGE));
    assertThat(record.trips()).hasSize(1);
    assertThat(record.trips().get(0).interlock()).isEqualTo("ripple");
    assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.YES);
  }

  @Test
  void meterExchangedBetweenTwoReadings() throws Exception {
    RunRecord record =
        wire(
            11,
            "another meter stands there between two readings, no answer lost",
            HV_UNKNOWN + ": the step's readings are not believed",
            Verdict.ERROR,
            own -> SerialBench.withRipple(own, RIPPLE),
            (bench, program) -> bench.meter.identity("Linnet,Bench meter,0002,1.0"));
    assertThat(record.reason())
        .contains("another instrument answers: \"Linnet,Bench meter,0002,1.0\"");
    assertThat(record.steps().get(2).results()).isEmpty();
    assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.UNKNOWN);
  }

  @Test
  void meterExchanged() throws Exception {
    RunRecord record =
        wire(
            EXCHANGED,
            "another meter stands there after an answer that did not come",
            HV_UNKNOWN + ": the other one's readings are not taken",
            Verdict.ERROR,
            (bench, program) -> {
              bench.meter.identity("Linnet,Bench meter,0002,1.0");
              bench.meter.failOnce(ScpiPeer.Fault.SILENT, 0, 0);
            });
    assertThat(record.steps().get(3).reason())
        .contains("another instrument answers: \"Linnet,Bench meter,0002,1.0\"");
    assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.UNKNOWN);
  }

  @Test
  void railShortedInTheRise() throws Exception {
    int number = 29;
    String fault = "rail below its mask while it rises: a short behind the limiter";
    try (SerialBench bench = new SerialBench(own(number), "", SerialBench.LONG_READING).inside()) {
      bench.scene.plan(
          """
          steps:
            - {step: first power, procedure: supply-rise, meter: hv-meter, function: hv, watch: 100 s, every: 100 ms, on-fail: stop}
            - {step: HV rail, procedure: reading, mains: direct, meter: hv-meter, function: hv, result: hv}
          shut-down:
            - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 10 V, give-up-after: 30 s, every: 100 ms}
          """);
      bench.shortTheRail();
      try (Program program = bench.scene.start(unit(number))) {
        RunRecord record = bench.scene.ended(program, unit(number), Verdict.FAIL);
        RunRecord.Step rise = record.steps().get(0);
        assertThat(rise.took()).as(fault).isLessThan(Duration.ofSeconds(60));
        assertThat(record.reason()).as(fault).contains("supply rise at ", " is below 100 V");
        assertThat(record.steps().get(1).outcome()).isEqualTo(StepOutcome.SKIPPED);
        assertThat(record.safeStates()).as(fault).allMatch(Event.SafeState::confirmed);
        assertThat(bench.slave.history())
            .as("the limiter stays in")
            .containsExactly(Set.of(), Set.of(Rail.MAINS), Set.of());
        assertThat(record.safeToOpen()).isEqualTo(SafeToOpen.UNKNOWN);
        table.put(
            number,
            fault,
            "fail: mains off in the middle of the rise, the limiter never out; a rail that was dead"
                + " from the first reading is called unknown",
            seen(record)
                .replaceAll(
                    "at [0-9.… ]+m?s -?[0-9.]+ m?V is below 100 V, worst by [0-9.]+ V",
                    "at … s … V is below 100 V, worst by … V"));
      }
    }
  }
}
