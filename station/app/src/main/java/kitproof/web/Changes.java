package kitproof.web;

import io.javalin.http.Context;
import io.javalin.http.HttpStatus;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;

/**
 * Tells browsers that what they show has changed, as server-sent events that hold the version only:
 * a browser that is slow misses versions, not content, and nothing is queued for it.
 *
 * <p>Each listener takes a thread of the server for as long as it listens, so there is a most.
 */
final class Changes {
  static final int MOST_LISTENERS = 100;

  /** A browser that hears nothing for a few of these knows that what it shows is old. */
  private static final Duration BEAT = Duration.ofSeconds(3);

  /** More often than this nobody can read. */
  private static final long APART_MILLIS = 200;

  private final Versioned shown;
  private final Semaphore places = new Semaphore(MOST_LISTENERS);
  private final CountDownLatch closing = new CountDownLatch(1);

  Changes(Versioned shown) {
    this.shown = shown;
  }

  void listen(Context request) {
    if (!places.tryAcquire()) {
      request.status(HttpStatus.SERVICE_UNAVAILABLE).result("too many are listening");
      return;
    }
    try {
      request.res().setContentType("text/event-stream; charset=utf-8");
      tell(request.res().getOutputStream());
    } catch (IOException gone) {
      request.status(HttpStatus.OK); // the browser has left, which is how it ends
    } catch (InterruptedException closed) {
      Thread.currentThread().interrupt(); // the server is being stopped
    } finally {
      places.release();
    }
  }

  private void tell(OutputStream out) throws IOException, InterruptedException {
    long told = -1;
    do {
      long version = told < 0 ? shown.version() : shown.await(told, BEAT);
      told = version;
      out.write(("data: " + version + "\n\n").getBytes(StandardCharsets.UTF_8));
      out.flush();
    } while (!closing.await(APART_MILLIS, TimeUnit.MILLISECONDS));
  }

  void close() {
    closing.countDown();
  }
}
