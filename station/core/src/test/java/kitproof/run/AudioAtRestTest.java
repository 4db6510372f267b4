package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import kitproof.event.Event;
import kitproof.event.Verdict;
import org.junit.jupiter.api.Test;

/** An interface may hold its device open from one signal to the next, but only within a step. */
class AudioAtRestTest {
  private static final String SEEN_FROM_OUTSIDE =
      "  - {step: outside, procedure: output-impedance, conditions: {channel: left, tap: 8 ohm},"
          + " power: 1 W, sweep: 200 ms, second-load: left other load}\n";

  private final FakeStation station = new FakeStation();
  private final List<String> awake = new ArrayList<>();

  private void run(Verdict expected) throws Exception {
    station.sink =
        event -> {
          if (event instanceof Event.StepFinished step && !station.audio.isAtRest()) {
            awake.add(step.step());
          }
          return station.keep(event);
        };
    assertThat(station.run()).isEqualTo(expected);
  }

  @Test
  void itIsAtRestWhenAStepIsOver() throws Exception {
    run(Verdict.PASS);
    assertThat(awake).isEmpty();
    // Four gains and a distortion, each with several signals.
    assertThat(station.audio.awakenings()).isEqualTo(5);
  }

  @Test
  void itIsAtRestWhileAnotherLoadIsSelectedInTheMiddleOfAStep() throws Exception {
    station.plan = station.plan.replace("shut-down:", SEEN_FROM_OUTSIDE + "shut-down:");
    run(Verdict.PASS);
    assertThat(awake).isEmpty();
    assertThat(station.audio.awakenings()).isEqualTo(5 + 2);
  }

  @Test
  void aStepThatFailsLeavesItAtRestToo() throws Exception {
    station.amplifier =
        stimulus -> {
          throw new IllegalStateException("a mistake in the driver");
        };
    run(Verdict.ERROR);
    assertThat(awake).isEmpty();
  }
}
