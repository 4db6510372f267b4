package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** Leads for the cold unit and mains are never on it together, whatever a plan says. */
class ColdRoutesTest {
  private static final String LEADS = "K20";

  private static FakeStation station() {
    FakeStation station = new FakeStation();
    station.meter.function("ohms", Unit.OHM, 8);
    station.bench =
        station.bench.replace(
            "      ultralinear:",
            "      cold leads off:  {group: cold, purpose: cold}\n"
                + "      primary:         {group: cold, purpose: cold, relays: [K20],"
                + " when: {point: primary}}\n"
                + "      ultralinear:");
    station.plan =
        station.plan.replace(
            "steps:\n  - step: first power",
            "steps:\n  - {step: primary, procedure: resistance, conditions: {point: primary},"
                + " meter: hv-meter, function: ohms, at-most: 5 s}\n  - step: first power");
    return station;
  }

  private static String reason(FakeStation station) {
    return station.events(Event.RunEnded.class).get(0).reason();
  }

  private static boolean everEnergised(FakeStation station, String relay) {
    return station.board.moments().stream().anyMatch(m -> m.energised().contains(relay));
  }

  @Test
  void theLeadsAreOffBeforeMainsComes() throws Exception {
    FakeStation station = station();
    assertThat(station.run()).as(reason(station)).isEqualTo(Verdict.PASS);
    assertThat(everEnergised(station, LEADS)).isTrue();
    assertThat(everEnergised(station, "K1")).isTrue();
    assertThat(station.board.moments())
        .noneMatch(m -> m.energised().contains(LEADS) && m.energised().contains("K1"));
    Invariants.check(station, "cold leads");
  }

  @Test
  void leadsThatDoNotComeOffKeepTheMainsAway() throws Exception {
    FakeStation station = station();
    station.sink =
        event -> {
          if (event instanceof Event.StepStarted step && step.step().equals("first power")) {
            station.board.stick(LEADS, true);
          }
          return station.keep(event);
        };
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(reason(station)).contains(LEADS + " did not open");
    assertThat(everEnergised(station, "K1")).isFalse();
    assertThat(station.outcome("first power")).isEqualTo(StepOutcome.ERROR);
  }

  @Test
  void theLeadsStayOffOnceMainsHasBeenOn() throws Exception {
    FakeStation station = station();
    // Past the checks of plan and bench, which would have refused it.
    station.plan =
        station.plan.replace(
            "  - repeat:",
            "  - {step: again, procedure: reading, conditions: {point: primary}, mains: 'off',"
                + " meter: hv-meter, function: hv, result: again}\n  - repeat:");
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(reason(station))
        .isEqualTo("\"primary\" is for the cold unit: mains has been on in this run");
    assertThat(station.outcome("again")).isEqualTo(StepOutcome.ERROR);
    Invariants.check(station, "cold again");
  }
}
