package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class StopSwitchTest {
  private static final StopSwitch.Cause FIRST = new StopSwitch.Cause("first", false);
  private static final StopSwitch.Cause SECOND = new StopSwitch.Cause("second", false);
  private final StopSwitch stop = new StopSwitch();

  @Test
  void aRequestForTheStepsNeverEndsTheWatchHoweverOftenItComes() {
    assertThat(stop.request(FIRST, StopReach.STEPS)).isEqualTo(StopEffect.STEPS_ENDED);
    assertThat(stop.request(SECOND, StopReach.STEPS)).isEqualTo(StopEffect.STEPS_ENDED);
    assertThat(stop.pending()).isEqualTo(FIRST);
    assertThat(stop.beginShutDown()).isEqualTo(FIRST);
    assertThat(stop.request(SECOND, StopReach.STEPS)).isEqualTo(StopEffect.WATCH_GOES_ON);
    assertThat(stop.pending()).isNull();
    assertThat(stop.detach()).isEqualTo(FIRST);
  }

  @Test
  void theFirstRequestInAShutDownThatCameByItselfIsKeptButEndsNothing() {
    stop.attach();
    assertThat(stop.beginShutDown()).isNull();
    assertThat(stop.request(FIRST, StopReach.STEPS)).isEqualTo(StopEffect.WATCH_GOES_ON);
    assertThat(stop.pending()).isNull();
    assertThat(Thread.currentThread().isInterrupted()).isFalse();
    assertThat(stop.detach()).as("the run does not end as passed").isEqualTo(FIRST);
    assertThat(stop.request(SECOND, StopReach.WATCH_TOO)).isEqualTo(StopEffect.TOO_LATE);
  }

  @Test
  void theWatchEndsWhenThatIsAskedForAlsoBeforeItBegins() {
    assertThat(stop.request(FIRST, StopReach.STEPS)).isEqualTo(StopEffect.STEPS_ENDED);
    assertThat(stop.request(SECOND, StopReach.WATCH_TOO)).isEqualTo(StopEffect.WATCH_ENDED);
    assertThat(stop.beginShutDown()).isEqualTo(FIRST);
    assertThat(stop.pending()).isEqualTo(SECOND);
  }

  @Test
  void whatGoesOnEndsByItsOwnRequest() {
    assertThat(stop.requestNow(FIRST)).isEqualTo(StopEffect.STEPS_ENDED);
    assertThat(stop.beginShutDown()).isEqualTo(FIRST);
    assertThat(stop.pending()).isNull();
    assertThat(stop.requestNow(SECOND)).isEqualTo(StopEffect.WATCH_ENDED);
    assertThat(stop.pending()).isEqualTo(SECOND);
  }
}
