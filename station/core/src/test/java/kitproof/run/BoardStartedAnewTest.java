package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import org.junit.jupiter.api.Test;

/** A relay board that lets go of its relays by itself, as one does that is started anew. */
class BoardStartedAnewTest {
  @Test
  void whatWasMeasuredMeanwhileDoesNotCount() throws Exception {
    FakeStation[] station = new FakeStation[1];
    station[0] =
        new FakeStation(
            call -> {
              if (call.text().startsWith("exchange")) {
                station[0].board.set(
                    Map.of("K1", false, "K2", false, "K3", false, "K4", false, "K5", false));
              }
            });
    assertThat(station[0].run()).isEqualTo(Verdict.ERROR);
    assertThat(station[0].events(Event.RunEnded.class).get(0).reason())
        .contains("moved without a command", "started anew, exchanged");
    assertThat(station[0].outcome("gain")).isEqualTo(StepOutcome.ERROR);
    assertThat(station[0].events(Event.ResultJudged.class))
        .noneMatch(result -> result.measurement().name().equals("gain"));
    Invariants.events(station[0], "started anew");
  }
}
