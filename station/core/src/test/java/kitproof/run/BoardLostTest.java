package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import kitproof.driver.InstrumentException;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A relay board that is lost in the middle of a long step is not noticed at its end only. */
@Timeout(60)
class BoardLostTest {
  private static final Duration LOST = Duration.ofSeconds(12);

  private static final String PLAN =
      SmallFiles.PLAN.replace(
          "- repeat: {channel: [left, right], tap: [4 ohm, 8 ohm]}",
          "- {step: long look, procedure: reading, meter: hv-meter, function: hv, result: soak,"
              + " count: 600, every: 500 ms}\n"
              + "  - repeat: {channel: [left, right], tap: [4 ohm, 8 ohm]}");

  /** Stated, and what the board's relays take to settle, 20 ms each, four times. */
  private static final Duration NOTICED = BoardLooks.WITHIN.plusMillis(80);

  private interface Mishap {
    void now(FakeStation station) throws InstrumentException;
  }

  private static FakeStation station(String role, Mishap from) {
    FakeStation[] self = new FakeStation[1];
    FakeStation station =
        new FakeStation(
            call -> {
              if (call.role().equals(role) && self[0].clock.nanos() >= LOST.toNanos()) {
                from.now(self[0]);
              }
            });
    self[0] = station;
    station.plan = PLAN;
    return station;
  }

  private static Event.InterlockTripped trip(FakeStation station) {
    List<Event.InterlockTripped> trips = station.events(Event.InterlockTripped.class);
    assertThat(trips).hasSize(1);
    assertThat(station.outcome("long look")).isEqualTo(StepOutcome.ABORTED);
    assertThat(station.events(Event.ResultJudged.class))
        .noneMatch(result -> result.measurement().name().equals("soak"));
    Duration took =
        station.events(Event.StepFinished.class).stream()
            .filter(step -> step.step().equals("long look"))
            .findFirst()
            .orElseThrow()
            .took();
    // it begins 6 s after the start at the earliest
    assertThat(took).isLessThan(LOST.minusSeconds(6).plus(NOTICED));
    return trips.get(0);
  }

  @Test
  void oneThatAnswersNoMoreIsAnErrorAndTheOperatorIsTold() throws Exception {
    FakeStation station =
        station(
            "relays",
            self -> {
              throw new InstrumentException(InstrumentException.Kind.UNREACHABLE, "unplugged");
            });
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(trip(station).reason()).isEqualTo("relays: unplugged");
    assertThat(station.events(Event.RunEnded.class).get(0).reason())
        .contains("interlock \"answers of relays\" tripped: relays: unplugged");
    assertThat(station.events(Event.SafeState.class).stream().skip(1))
        .noneMatch(Event.SafeState::confirmed);
  }

  @Test
  void oneThatLetsGoOfItsRelaysIsAnErrorAndTheBenchSafe() throws Exception {
    FakeStation station = station("hv-meter", self -> self.board.stick("K1", false));
    assertThat(station.run()).isEqualTo(Verdict.ERROR);
    assertThat(trip(station).reason()).startsWith("relays: relay K1 moved without a command");
    Invariants.check(station, "let go");
    Invariants.atRest(station, "let go");
  }

  @Test
  void oneThatDoesNotComeBackIsNoticedToo() throws Exception {
    CountDownLatch over = new CountDownLatch(1);
    FakeStation station = station("relays", self -> await(over));
    station.deadlines =
        new Deadlines(
            Duration.ofSeconds(30),
            Duration.ofMillis(300),
            Duration.ofMillis(200),
            Duration.ofSeconds(60));
    try {
      assertThat(station.run()).isEqualTo(Verdict.ERROR);
    } finally {
      over.countDown();
    }
    assertThat(trip(station).reason()).contains("relays did not say how its relays are within ");
  }

  private static void await(CountDownLatch latch) {
    try {
      latch.await();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Test
  void aGoodBoardIsLookedAtEverySecondOnlyWhileMainsIsOn() throws Exception {
    FakeStation station = new FakeStation();
    station.plan = PLAN;
    assertThat(station.run()).isEqualTo(Verdict.PASS);
    long looks =
        station.line.calls().stream().filter(c -> c.text().startsWith("energised")).count();
    // 300 s of readings; at 19200 baud a look takes some 10 ms of each second
    assertThat(looks).isBetween(300L, 450L);
  }
}
