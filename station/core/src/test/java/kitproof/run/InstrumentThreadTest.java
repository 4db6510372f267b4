package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import kitproof.driver.InstrumentException;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** A switcher that does not come back from a selection until a test lets it. */
@Timeout(60)
class InstrumentThreadTest {
  private static final Duration LONG = Duration.ofSeconds(30);
  private static final Duration SHORT = Duration.ofMillis(1);

  private final InstrumentThread thread = new InstrumentThread("relays");
  private final CountDownLatch begun = new CountDownLatch(1);
  private final CountDownLatch letGo = new CountDownLatch(1);
  private final CountDownLatch safe = new CountDownLatch(1);
  private final List<String> done = new CopyOnWriteArrayList<>();

  @AfterEach
  void end() {
    letGo.countDown();
    thread.close();
  }

  /** It minds no interrupt, and switches when it comes back. */
  private boolean select() {
    begun.countDown();
    while (true) {
      try {
        letGo.await();
        return done.add("select");
      } catch (InterruptedException e) {
        continue;
      }
    }
  }

  /** A call that is broken off before it has begun would not be stuck. */
  private void untilBegun() {
    try {
      assertThat(begun.await(30, TimeUnit.SECONDS)).isTrue();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private boolean rest() {
    done.add("rest");
    safe.countDown();
    return true;
  }

  private void makeSafe() throws InstrumentException {
    thread.callWhenever("make safe", SHORT, () -> {}, this::rest);
  }

  @Test
  void whatMakesSafeIsDoneAsSoonAsAStuckCallComesBack() throws Exception {
    assertThatThrownBy(() -> thread.call("select mains", SHORT, this::untilBegun, this::select))
        .hasMessageContaining("did not select mains within");
    assertThatThrownBy(this::makeSafe).hasMessageContaining("did not make safe within");
    assertThatThrownBy(this::makeSafe)
        .as("one is enough, and nobody waits for it again")
        .hasMessage("relays has not come back from \"select mains\"");
    letGo.countDown();
    assertThat(safe.await(30, TimeUnit.SECONDS)).isTrue();
    assertThat(done).containsExactly("select", "rest");
  }

  @Test
  void nothingElseQueues() {
    assertThatThrownBy(() -> thread.call("select mains", SHORT, this::untilBegun, this::select))
        .isInstanceOf(InstrumentException.class);
    assertThatThrownBy(() -> thread.call("select drive", SHORT, () -> {}, this::rest))
        .hasMessage("relays has not come back from \"select mains\"");
    assertThatThrownBy(() -> thread.callToTheEnd("read back", SHORT, () -> {}, this::rest))
        .hasMessage("relays has not come back from \"select mains\"");
  }

  @Test
  void whoCannotWaitBreaksACallOffAndTheInstrumentIsNotGivenUp() throws Exception {
    assertThatThrownBy(() -> thread.callInTime("read hv", SHORT, this::untilBegun, this::select))
        .hasMessageContaining("did not read hv within");
    assertThat(thread.isStuck()).isFalse();
    letGo.countDown();
    assertThat(thread.call("read hv", LONG, () -> {}, () -> 330)).isEqualTo(330);
  }
}
