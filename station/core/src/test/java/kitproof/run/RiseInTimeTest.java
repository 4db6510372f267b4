package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A meter that falls silent while the mains comes, on a bench in real time. */
@Timeout(60)
class RiseInTimeTest {
  /** Minds no interrupt, as a port that is being read. */
  private static boolean comes(CountDownLatch latch) {
    for (int i = 0; i < 20; i++) {
      try {
        return latch.await(20, TimeUnit.SECONDS);
      } catch (InterruptedException e) {
        continue;
      }
    }
    return false;
  }

  /** The meter's own deadline is 30 s here; the plan says how long a fault may go unseen. */
  @Test
  void aSilentMeterEndsTheRiseInTheTimeThePlanStatesNotInItsOwn() throws Exception {
    CountDownLatch mainsWentOff = new CountDownLatch(1);
    boolean[] inTime = {false};
    int[] readings = {0};
    FakeStation[] station = new FakeStation[1];
    station[0] =
        new FakeStation(
            call -> {
              boolean live = station[0].board.now().contains("K1");
              if (call.role().equals("hv-meter") && call.text().equals("read hv") && live) {
                if (++readings[0] == 3) {
                  inTime[0] = comes(mainsWentOff);
                }
              }
            });
    station[0].plan = station[0].plan.replace("watch: 4 s", "watch: 4 s\n    within: 300 ms");
    station[0].sink =
        event -> {
          if (event instanceof Event.SafeState && !station[0].board.now().contains("K1")) {
            boolean hasBeenOn =
                station[0].board.moments().stream().anyMatch(m -> m.energised().contains("K1"));
            if (hasBeenOn) {
              mainsWentOff.countDown();
            }
          }
          return station[0].keep(event);
        };
    assertThat(station[0].run()).isEqualTo(Verdict.ERROR);
    assertThat(inTime[0]).as("mains off while the meter was still silent").isTrue();
    assertThat(station[0].events(Event.RunEnded.class).get(0).reason())
        .startsWith("hv-meter did not read hv within ");
    assertThat(station[0].outcome("first power")).isEqualTo(StepOutcome.ERROR);
    assertThat(
            station[0].events(Event.OpeningTold.class).stream().map(Event.OpeningTold::safeToOpen))
        .as("the meter is not given up: it came back, and the discharge was watched")
        .containsExactly(SafeToOpen.NO, SafeToOpen.YES);
    Invariants.check(station[0], "silent in the rise");
  }
}
