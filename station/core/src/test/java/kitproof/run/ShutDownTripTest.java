package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import org.junit.jupiter.api.Test;

/** An interlock that trips in the shut-down releases the relay through which the rail is read. */
class ShutDownTripTest {
  /** Trips while this step of the shut-down waits, the mains still on. */
  private static FakeStation tripping(String step, String shutDown) {
    FakeStation station = new FakeStation();
    station.bench =
        FakeStation.BENCH
            .replace("roles:\n", "time: simulated\nroles:\n")
            .replace(
                "      triode: ",
                "      probe at rest:   {group: probe}\n"
                    + "      probe on HV:     {group: probe, relays: [K10]}\n"
                    + "      triode: ");
    station.plan =
        FakeStation.PLAN.replace("shut-down:\n", "shut-down:\n" + shutDown)
            + "interlocks:\n"
            + "  - {interlock: HV rail, meter: hv-meter, function: hv, high: 400 V, within: 500 ms,"
            + " every: 100 ms}\n";
    station.sink =
        event -> {
          if (event instanceof Event.StepStarted begun && begun.step().equals(step)) {
            station.excursionFrom = station.clock.nanos() + Duration.ofSeconds(2).toNanos();
          }
          return station.keep(event);
        };
    return station;
  }

  private static List<SafeToOpen> told(FakeStation station) {
    return station.events(Event.OpeningTold.class).stream()
        .map(Event.OpeningTold::safeToOpen)
        .toList();
  }

  @Test
  void aRailReadThroughARelayThatHasDroppedIsNotDischarged() throws Exception {
    FakeStation station = tripping("discharge", "");
    station.plan =
        station.plan.replace(
            "  procedure: discharge\n",
            "  procedure: discharge\n    wait: 5 s\n    select: [probe on HV]\n");
    assertThat(station.run()).isNotEqualTo(Verdict.PASS);
    assertThat(station.events(Event.InterlockTripped.class)).hasSize(1);
    assertThat(station.rail()).as("what the meter read").isLessThan(30);
    assertThat(told(station)).containsExactly(SafeToOpen.NO, SafeToOpen.UNKNOWN);
    assertThat(station.events(Event.StepFinished.class))
        .filteredOn(e -> e.step().equals("discharge"))
        .singleElement()
        .satisfies(
            e ->
                assertThat(e.reason())
                    .isEqualTo(
                        "the discharge is not proved: \"probe on HV\" is not what the relays are"
                            + " read back as"));
    Invariants.check(station, "trip in the discharge");
  }

  @Test
  void theNextStepOfTheShutDownSelectsItAgain() throws Exception {
    FakeStation station =
        tripping(
            "before off",
            "  - {step: before off, procedure: reading, wait: 5 s, meter: hv-meter, function: hv,"
                + " result: last hv, select: [probe on HV]}\n");
    station.plan =
        station.plan.replace(
            "  procedure: discharge\n", "  procedure: discharge\n    select: [probe on HV]\n");
    assertThat(station.run()).isEqualTo(Verdict.ABORTED);
    assertThat(station.events(Event.InterlockTripped.class)).hasSize(1);
    assertThat(station.outcome("discharge")).isNotEqualTo(StepOutcome.ERROR);
    assertThat(told(station)).containsExactly(SafeToOpen.NO, SafeToOpen.YES);
    Invariants.check(station, "trip before the discharge");
  }
}
