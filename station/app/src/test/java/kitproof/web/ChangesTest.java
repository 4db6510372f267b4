package kitproof.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** What a browser that does not read costs: a place, and nothing for what it misses. */
class ChangesTest {
  private static final int CHANGES = 100_000;

  /** Something that changes very often. */
  private static final class Changing implements Versioned {
    private long version;

    synchronized void change() {
      version++;
      notifyAll();
    }

    @Override
    public synchronized long version() {
      return version;
    }

    @Override
    public synchronized long await(long seen, Duration most) throws InterruptedException {
      if (version <= seen) {
        wait(most.toMillis());
      }
      return version;
    }
  }

  /** A line whose far end reads nothing until it is let; then it notes what it gets. */
  private static final class Unread extends OutputStream {
    final CountDownLatch full = new CountDownLatch(1);
    final CountDownLatch read = new CountDownLatch(1);
    final CountDownLatch latest = new CountDownLatch(1);
    private final ByteArrayOutputStream got = new ByteArrayOutputStream();

    @Override
    public void write(int one) throws IOException {
      write(new byte[] {(byte) one}, 0, 1);
    }

    @Override
    public void write(byte[] bytes, int from, int length) throws IOException {
      full.countDown();
      try {
        read.await();
      } catch (InterruptedException e) {
        throw new IOException(e);
      }
      synchronized (got) {
        got.write(bytes, from, length);
      }
    }

    @Override
    public void flush() {
      if (told().contains("data: " + CHANGES + "\n")) {
        latest.countDown();
      }
    }

    String told() {
      synchronized (got) {
        return got.toString(StandardCharsets.UTF_8);
      }
    }
  }

  /**
   * Whatever is kept for it while it does not read is told to it afterwards: so it is counted what
   * it is told.
   */
  @Test
  @Timeout(60)
  void nothingIsKeptForABrowserThatDoesNotRead() throws Exception {
    Changing shown = new Changing();
    Changes changes = new Changes(shown);
    Unread line = new Unread();
    Thread listener =
        new Thread(
            () -> {
              try {
                changes.tell(line);
              } catch (IOException | InterruptedException e) {
                Thread.currentThread().interrupt();
              }
            });
    listener.start();
    assertThat(line.full.await(30, TimeUnit.SECONDS)).isTrue();
    for (int i = 0; i < CHANGES; i++) {
      shown.change();
    }
    line.read.countDown();
    assertThat(line.latest.await(30, TimeUnit.SECONDS)).as("it hears of the latest").isTrue();
    changes.close();
    listener.join();
    assertThat(line.told().lines().filter(event -> event.startsWith("data: ")).toList())
        .as("the one that was under way, and the latest")
        .containsExactly("data: 0", "data: " + CHANGES);
  }
}
