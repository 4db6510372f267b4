package kitproof.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;

class RememberedTest {
  private static final Instant NOON = Instant.parse("2026-11-25T12:00:00Z");

  private final Remembered<String> remembered = new Remembered<>(Duration.ofSeconds(2));
  private final AtomicInteger made = new AtomicInteger();

  private String ask(String what, long version, Instant now) {
    return remembered.answer(what, version, now, () -> what + made.incrementAndGet());
  }

  @Test
  void anAnswerIsMadeOnceForAsLongAsNothingChanges() {
    assertThat(ask("hum", 7, NOON)).isEqualTo("hum1");
    assertThat(ask("hum", 7, NOON.plusSeconds(2))).isEqualTo("hum1");
    assertThat(ask("gain", 7, NOON)).as("another question").isEqualTo("gain2");
    assertThat(ask("hum", 8, NOON)).as("something has changed").isEqualTo("hum3");
    assertThat(ask("hum", 7, NOON)).as("asked before that").isEqualTo("hum3");
    assertThat(ask("hum", 8, NOON.plusSeconds(3))).as("it is old").isEqualTo("hum4");
    assertThat(ask("hum", 8, NOON.minusSeconds(60))).as("the clock was set").isEqualTo("hum5");
  }

  @Test
  void fewAreKept() {
    for (int i = 0; i < Remembered.MOST; i++) {
      ask("result " + i, 1, NOON);
    }
    assertThat(ask("result 0", 1, NOON)).isEqualTo("result 01");
    ask("one more", 1, NOON);
    int before = made.get();
    assertThat(ask("result 0", 1, NOON)).isEqualTo("result 0" + (before + 1));
  }
}
