package kitproof.driver.relayswitcher;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicReference;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.RelayBoard;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeRelayBoard;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** Whether the board's watchdog is refreshed, and never before a command. */
@Timeout(60)
class WatchedBoardTest {
  private static final Duration OFTEN = Duration.ofMillis(1);
  private final Calls calls = new Calls(new SimulatedClock(Instant.EPOCH));
  private final FakeRelayBoard board = new FakeRelayBoard(calls, "relays", Set.of("K1"));
  private final AtomicReference<CountDownLatch> refreshes =
      new AtomicReference<>(new CountDownLatch(1));

  private void refreshed() {
    refreshes.get().countDown();
  }

  private boolean seesRefreshes(int count, long millis) throws InterruptedException {
    CountDownLatch next = new CountDownLatch(count);
    refreshes.set(next);
    return next.await(millis, TimeUnit.MILLISECONDS);
  }

  @Test
  void aBoardThatRefusesTheFirstRefreshIsClosed() {
    InstrumentException refused =
        new InstrumentException(InstrumentException.Kind.PROTOCOL, "no such register");
    assertThatThrownBy(
            () ->
                WatchedBoard.open(
                    board,
                    () -> {
                      throw refused;
                    },
                    OFTEN))
        .isSameAs(refused);
    assertThat(calls.of("relays")).contains("close");
  }

  @Test
  void itIsRefreshedFromOpeningToClosingAlsoAfterRefreshesThatFail() throws Exception {
    AtomicInteger tries = new AtomicInteger();
    RelayBoard watched =
        WatchedBoard.open(
            board,
            () -> {
              refreshed();
              if (tries.incrementAndGet() % 2 == 0) {
                throw new InstrumentException(InstrumentException.Kind.TIMEOUT, "no answer");
              }
            },
            OFTEN);
    assertThat(seesRefreshes(10, 30_000)).isTrue();
    watched.close();
    seesRefreshes(1, 5); // one that was under way
    assertThat(seesRefreshes(1, 50)).isFalse();
  }

  @Test
  void whileACommandIsUnderWayThereIsNone() throws Exception {
    AtomicReference<Boolean> meanwhile = new AtomicReference<>(true);
    RelayBoard slow =
        new RelayBoard() {
          @Override
          public Identity identity() {
            return board.identity();
          }

          @Override
          public void set(Map<String, Boolean> wanted) throws InstrumentException {
            try {
              meanwhile.set(seesRefreshes(1, 50));
            } catch (InterruptedException e) {
              Thread.currentThread().interrupt();
            }
            board.set(wanted);
          }

          @Override
          public Set<String> energised() throws InstrumentException {
            return board.energised();
          }

          @Override
          public void close() throws InstrumentException {
            board.close();
          }
        };
    try (RelayBoard watched = WatchedBoard.open(slow, this::refreshed, OFTEN)) {
      watched.set(Map.of("K1", true));
      assertThat(watched.energised()).containsExactly("K1");
      assertThat(meanwhile.get()).as("refreshed in the middle of a command").isFalse();
      assertThat(seesRefreshes(2, 30_000)).as("and again after it").isTrue();
    }
  }
}
