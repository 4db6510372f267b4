package kitproof.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import org.junit.jupiter.api.Test;

/** How long the publisher waits before it tries again. */
class BackoffTest {
  @Test
  void failuresAreFollowedByEverLongerPausesUpToABound() {
    Backoff backoff = new Backoff(Duration.ofMillis(250), Duration.ofSeconds(8));
    assertThat(List.of(1, 2, 3, 5, 6, 7, 1000))
        .extracting(n -> backoff.after(n).toMillis())
        .containsExactly(250L, 500L, 1000L, 4000L, 8000L, 8000L, 8000L);
  }
}
