package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.util.Set;
import kitproof.driver.InstrumentException;
import kitproof.event.Event;
import kitproof.event.Event.OpeningTold;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import org.junit.jupiter.api.Test;

/**
 * A drive relay that is welded moves no load. It does not keep the discharge from being measured
 * either, once the mains is off and nothing plays, though a meter's lead has to move for it.
 */
class WeldedDriveTest {
  private static final String WELDED = "K3";
  private static final String LEAD = "K10";
  private static final String PROBES =
      """
            supply:          {group: probe, when: {point: supply}}
            reservoir:       {group: probe, relays: [K10], when: {point: reservoir}}
      """;

  private boolean interfaceGone;
  private boolean silenceFails;

  private FakeStation station(String dischargeUnder) {
    FakeStation station =
        new FakeStation(
            call -> {
              if (silenceFails && call.role().equals("audio") && call.text().equals("makeSafe")) {
                throw new InstrumentException(InstrumentException.Kind.UNREACHABLE, "unplugged");
              }
            });
    station.bench = station.bench.replace("\n  hv-meter:", "\n" + PROBES + "  hv-meter:");
    station.plan =
        station.plan.replace(
            "procedure: discharge",
            "procedure: discharge\n    conditions: {" + dischargeUnder + "}");
    station.sink =
        event -> {
          if (event instanceof Event.StepStarted step && step.step().equals("distortion")) {
            weld(station);
          }
          return station.keep(event);
        };
    return station;
  }

  private void weld(FakeStation station) {
    station.board.stick(WELDED, true);
    silenceFails = interfaceGone;
  }

  private static SafeToOpen opening(FakeStation station) {
    var told = station.events(OpeningTold.class);
    return told.get(told.size() - 1).safeToOpen();
  }

  private static void runs(FakeStation station) throws IOException {
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(station.events(Event.RunEnded.class).get(0).reason()).contains(WELDED);
    Invariants.relays(station, Set.of(WELDED), "drive welded");
    Invariants.events(station, "drive welded");
  }

  @Test
  void theDischargeIsMeasuredAndAMetersLeadMovesForIt() throws Exception {
    FakeStation station = station("point: reservoir");
    runs(station);
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.PASSED);
    assertThat(opening(station)).isEqualTo(SafeToOpen.YES);
    assertThat(station.board.moments())
        .as("the lead was on the reservoir after the relay had welded")
        .anyMatch(m -> m.energised().containsAll(Set.of(WELDED, LEAD)));
  }

  @Test
  void noLoadMovesForIt() throws Exception {
    FakeStation station = station("channel: left, tap: 4 ohm");
    runs(station);
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.ERROR);
    assertThat(opening(station)).isEqualTo(SafeToOpen.UNKNOWN);
  }

  @Test
  void nothingMovesWhileTheInterfaceMayStillPlay() throws Exception {
    FakeStation station = station("point: reservoir");
    interfaceGone = true;
    runs(station);
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.ERROR);
    assertThat(opening(station)).isEqualTo(SafeToOpen.UNKNOWN);
    assertThat(station.board.moments()).noneMatch(m -> m.energised().contains(LEAD));
  }

  @Test
  void nothingMovesWhileTheMainsIsReadBackAsOn() throws Exception {
    FakeStation station = station("point: reservoir");
    station.sink =
        event -> {
          if (event instanceof Event.StepStarted step && step.step().equals("distortion")) {
            weld(station);
            station.board.stick("K1", true);
          }
          return station.keep(event);
        };
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(station.outcome("discharge")).isEqualTo(StepOutcome.ERROR);
    assertThat(opening(station)).isEqualTo(SafeToOpen.UNKNOWN);
    assertThat(station.board.moments()).noneMatch(m -> m.energised().contains(LEAD));
  }
}
