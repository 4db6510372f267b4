package kitproof.interlock;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.value.Conditions;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/**
 * Missed heartbeats on real threads, with time that stands still until the test lets it pass: what
 * is slow on a busy machine trips nothing here.
 */
@Timeout(60)
class InterlockThreadsTest {
  private static final Duration WITHIN = Duration.ofMillis(500);
  private static final long LATE = WITHIN.toNanos() + 1;

  private final Clock clock = new Clock();
  private final CountDownLatch over = new CountDownLatch(1);
  private final CountDownLatch tripped = new CountDownLatch(1);
  private volatile Trip trip = new Trip("none", "", null, false, 0);
  private final Interlocks interlocks =
      new Interlocks(
          List.of(HvRail.within(WITHIN)),
          clock,
          why -> {
            trip = why;
            tripped.countDown();
          });

  /** Passes no time by itself; who sleeps comes back soon, unless it is to hang here. */
  private final class Clock implements BenchClock {
    private final AtomicLong nanos = new AtomicLong();
    private final CountDownLatch hangs = new CountDownLatch(1);
    private volatile boolean watchHangs;

    @Override
    public long nanos() {
      return nanos.get();
    }

    @Override
    public Instant now() {
      return Instant.EPOCH;
    }

    @Override
    public void sleep(Duration duration) throws InterruptedException {
      if (watchHangs && Thread.currentThread().getName().equals("kitproof-interlocks")) {
        hangs.countDown();
        over.await();
      }
      LockSupport.parkNanos(1_000_000);
    }
  }

  private interface Answer {
    Reading get() throws InstrumentException;
  }

  private InterlockThreads threads(Answer answer) {
    return new InterlockThreads(
        interlocks,
        new MeterAccess() {
          @Override
          public Reading read(String meter, String function) throws InstrumentException {
            return answer.get();
          }

          @Override
          public boolean reading(String meter) {
            return false;
          }

          @Override
          public boolean switching() {
            return false;
          }
        },
        clock);
  }

  private void arm() {
    interlocks.enter(now -> new Situation(Route.Purpose.MAINS_DIRECT, 1, List.of(Conditions.NONE)));
  }

  private static Reading good() {
    return new Reading.Value(Quantity.of(330, Unit.VOLT));
  }

  @AfterEach
  void letGo() {
    over.countDown();
  }

  @Test
  void aWatchThatShowsNoSignOfLifeIsATripForTheSequenceThatLooksAfterIt() throws Exception {
    try (InterlockThreads threads = threads(InterlockThreadsTest::good)) {
      clock.watchHangs = true;
      assertThat(clock.hangs.await(30, TimeUnit.SECONDS)).isTrue();
      threads.check();
      assertThat(tripped.getCount()).as("not late yet").isEqualTo(1);
      clock.nanos.set(LATE);
      threads.check();
      assertThat(tripped.getCount()).as("on the thread that noticed").isZero();
      assertThat(trip.interlock()).isEqualTo("watch over the interlocks");
      assertThat(trip.why()).isEqualTo("no sign of life for 500 ms");
      assertThat(trip.stationAtFault()).isTrue();
    }
  }

  @Test
  void anInterlockThatShowsNoSignOfLifeIsATrip() throws Exception {
    CountDownLatch reads = new CountDownLatch(1);
    Answer never =
        () -> {
          reads.countDown();
          try {
            over.await();
          } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
          }
          return good();
        };
    try (InterlockThreads threads = threads(never)) {
      arm();
      assertThat(reads.await(30, TimeUnit.SECONDS)).isTrue();
      clock.nanos.set(WITHIN.toNanos() * 9 / 10 + 1);
      assertThat(tripped.await(30, TimeUnit.SECONDS)).isTrue();
      threads.check();
      assertThat(trip.interlock()).isEqualTo("HV rail");
      assertThat(trip.why())
          .isEqualTo(
              "hv-meter hv has given no reading for 450 ms; it must not be older than 450 ms");
      assertThat(trip.stationAtFault()).isTrue();
    }
  }

  @Test
  void aMeterThatFailsUnderAnInterlockIsATrip() throws Exception {
    Answer fails =
        () -> {
          throw new InstrumentException(InstrumentException.Kind.UNREACHABLE, "unplugged");
        };
    try (InterlockThreads threads = threads(fails)) {
      threads.check();
      arm();
      assertThat(tripped.await(30, TimeUnit.SECONDS)).isTrue();
      assertThat(trip.why()).isEqualTo("unplugged");
    }
  }

  @Test
  void afterTheEndNobodyIsMissed() throws Exception {
    InterlockThreads threads = threads(InterlockThreadsTest::good);
    clock.watchHangs = true;
    assertThat(clock.hangs.await(30, TimeUnit.SECONDS)).isTrue();
    threads.close();
    clock.nanos.set(LATE);
    threads.check();
    assertThat(tripped.getCount()).isEqualTo(1);
  }
}
