package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Set;
import kitproof.event.Event;
import kitproof.event.Verdict;
import kitproof.value.Figure;
import kitproof.value.Signal;
import org.junit.jupiter.api.Test;

/** A step that measures into two loads, on the whole station of fakes. */
class ReroutedStepTest {
  private static final String STEP =
      """
        - step: output impedance
          procedure: output-impedance
          conditions: {channel: left, tap: 8 ohm, mode: triode}
          power: 1 W
          second-load: "{channel} other load"
          sweep: 200 ms
          band: 100 Hz..10 kHz
        - step: gain afterwards
          procedure: gain
          conditions: {channel: left, tap: 8 ohm, mode: triode}
          power: 1.5 W
      shut-down:
      """;
  private final FakeStation station = new FakeStation();

  ReroutedStepTest() {
    station.plan = FakeStation.PLAN.replace("shut-down:\n", STEP);
    station.amplifier = this::behindOneOhm;
  }

  /** Gain 20 behind 1 ohm; K9 is the load of 2 ohm, all other ways lead to 8.02 ohm. */
  private Signal behindOneOhm(Signal stimulus) {
    Set<String> closed = station.board.now();
    double load = closed.contains("K9") ? 2 : 8.02;
    double[][] out = new double[stimulus.channels()][];
    for (int i = 0; i < out.length; i++) {
      out[i] = stimulus.channel(i);
      // Drive and load are on the left output; elsewhere nothing is heard.
      for (int n = 0; n < out[i].length; n++) {
        out[i][n] *= closed.contains("K3") || i > 0 ? 20 * load / (load + 1) : 0;
      }
    }
    return Signal.of(stimulus.sampleRateHz(), out);
  }

  private double result(String name) {
    return station.events(Event.ResultJudged.class).stream()
        .filter(e -> e.measurement().name().equals(name))
        .map(e -> ((Figure.OfQuantity) e.measurement().figure()).quantity().value())
        .findFirst()
        .orElseThrow();
  }

  @Test
  void theSecondLoadStandsInAndTheFirstComesBack() throws Exception {
    assertThat(Preflight.check(station.plan(), station.bench(), limits(), station.drivers()))
        .isEmpty();
    assertThat(station.run()).isNotEqualTo(Verdict.ERROR);
    assertThat(result("output impedance at 1 kHz")).isCloseTo(1, within(0.005));
    assertThat(result("damping factor at 1 kHz")).isCloseTo(8.02, within(0.05));
    List<Set<String>> moments =
        station.board.moments().stream().map(m -> Set.copyOf(m.energised())).toList();
    assertThat(moments).anyMatch(m -> m.contains("K9") && m.contains("K3"));
    for (int i = 1; i < moments.size(); i++) {
      if (moments.get(i).contains("K9") != moments.get(i - 1).contains("K9")) {
        assertThat(moments.get(i)).as("drive while the load changes").doesNotContain("K3", "K4");
      }
    }
    assertThat(station.board.now()).doesNotContain("K9", "K3");
    Invariants.events(station, "two loads");
  }

  private kitproof.limit.LimitFile limits() {
    return kitproof.limit.LimitFile.read("limits.yaml", station.limits).value();
  }
}
