package kitproof.interlock;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.driver.SimulatedClock;
import kitproof.value.Conditions;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** What becomes of a trip on a simulated bench when something hangs. */
@Timeout(60)
class TurnClockTest {
  private static final Duration WITHIN = Duration.ofMillis(500);
  private final TurnClock clock = new TurnClock(new SimulatedClock(Instant.EPOCH));
  private final CountDownLatch tripped = new CountDownLatch(1);
  private volatile Trip trip = new Trip("none", "", null, false, 0);
  private volatile long trippedAt;
  private volatile double volts = 300;
  private volatile boolean switching;
  private volatile Duration readingTime = Duration.ZERO;

  private final class Access implements MeterAccess {
    @Override
    public Reading read(String meter, String function) {
      try {
        clock.sleep(readingTime);
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
      return new Reading.Value(Quantity.of(volts, Unit.VOLT));
    }

    @Override
    public boolean reading(String meter) {
      return false;
    }

    @Override
    public boolean switching() {
      return switching;
    }
  }

  private void watch() {
    Interlocks interlocks = new Interlocks(List.of(HvRail.within(WITHIN)), clock, clock::tripped);
    clock.attach(
        interlocks,
        new Access(),
        why -> {
          trip = why;
          trippedAt = clock.nanos();
          tripped.countDown();
        });
    interlocks.enter(now -> new Situation(Route.Purpose.MAINS_DIRECT, 1, List.of(Conditions.NONE)));
  }

  @Test
  void aTripDuringASwitchingActsRightAfterIt() throws Exception {
    switching = true;
    volts = 455;
    watch();
    clock.sleep(Duration.ofMillis(150));
    assertThat(tripped.getCount()).isEqualTo(1);
    switching = false;
    clock.catchUp();
    assertThat(trip.why()).isEqualTo("hv-meter hv 455 V is above 400 V");
  }

  @Test
  void aTripDoesNotWaitForASwitchingThatNeverEnds() throws Exception {
    switching = true;
    volts = 455;
    watch();
    clock.sleep(Duration.ofMillis(150));
    assertThat(tripped.await(30, TimeUnit.SECONDS)).as("acted all the same").isTrue();
    assertThat(trip.why()).isEqualTo("hv-meter hv 455 V is above 400 V");
  }

  @Test
  void aReadingOfItsOwnThatStaysAwayTripsBeforeItComes() throws Exception {
    watch();
    clock.sleep(Duration.ofMillis(150));
    readingTime = Duration.ofSeconds(60);
    long before = clock.nanos();
    clock.sleep(Duration.ofMillis(150));
    assertThat(trip.why()).contains("has given no reading for");
    assertThat(Duration.ofNanos(trippedAt - before)).isLessThan(WITHIN);
  }
}
