package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;

/** Frames that come in bunches and are fetched late. */
class CaptureClockTest {
  private static final int RATE = 48_000;
  private static final int BUNCH = RATE / 40;

  private final CaptureClock clock = new CaptureClock(RATE);
  private final Random late = new Random(3);
  private long bunches;

  /** Fetched up to 30 ms late, some of them at once. */
  private void goOn(double seconds, long lost) {
    long end = bunches + Math.round(seconds * RATE / BUNCH);
    while (bunches < end) {
      bunches++;
      long nanos = bunches * BUNCH * 1_000_000_000L / RATE;
      clock.came(nanos + (long) (late.nextDouble() * 30e6), bunches * BUNCH - lost);
    }
  }

  @Test
  @DisplayName("However late they are fetched, the most timely are as far ahead as before")
  void timely() {
    goOn(1, 0);
    double before = clock.ahead();
    clock.forget();
    goOn(5, 0);
    assertThat(clock.ahead()).isCloseTo(before, within(0.005 * RATE));
  }

  @Test
  @DisplayName("Once some are lost, all after them are behind by as many")
  void lost() {
    goOn(1, 0);
    double before = clock.ahead();
    clock.forget();
    goOn(1, BUNCH);
    assertThat(clock.ahead()).isCloseTo(before - BUNCH, within(0.005 * RATE));
  }

  @Test
  @DisplayName("What is longer ago than a second does not count: two clocks drift apart")
  void recent() {
    goOn(1, 0);
    double before = clock.ahead();
    goOn(2, BUNCH);
    assertThat(clock.ahead()).isCloseTo(before - BUNCH, within(0.005 * RATE));
  }
}
