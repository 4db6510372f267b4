package kitproof.web;

import io.javalin.http.Context;
import io.javalin.http.HttpStatus;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.jspecify.annotations.Nullable;

/**
 * Tells browsers that what they show has changed, as server-sent events that hold the version and,
 * if there can be no news, since when and why: a browser that is slow misses versions, not content,
 * and nothing is queued for it.
 *
 * <p>Each listener takes a thread of the server for as long as it listens, so there is a most.
 */
final class Changes {
  static final int MOST_LISTENERS = 100;

  /** Pages that one device beside this machine can have open. */
  static final int MOST_OF_ONE = 12;

  /** A browser that hears nothing for a few of these knows that what it shows is old. */
  private static final Duration BEAT = Duration.ofSeconds(3);

  /** More often than this nobody can read. */
  private static final long APART_MILLIS = 200;

  private final Versioned shown;
  private final Places places = new Places(MOST_LISTENERS, MOST_OF_ONE);
  private final CountDownLatch closing = new CountDownLatch(1);

  Changes(Versioned shown) {
    this.shown = shown;
  }

  void listen(Context request) {
    String from = request.ip();
    if (!places.take(from)) {
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
      places.leave(from);
    }
  }

  /** Tells a line what is new, as long as it takes it and until this is closed. */
  void tell(OutputStream out) throws IOException, InterruptedException {
    long told = -1;
    do {
      long version = told < 0 ? shown.version() : shown.await(told, BEAT);
      told = version;
      out.write(event(version, shown.trouble()).getBytes(StandardCharsets.UTF_8));
      out.flush();
    } while (!closing.await(APART_MILLIS, TimeUnit.MILLISECONDS));
  }

  /**
   * "data: 12", or "data: 12 1764151200000 the broker is gone": one line, whatever the reason is.
   */
  static String event(long version, Versioned.@Nullable Trouble trouble) {
    String more =
        trouble == null
            ? ""
            : " " + trouble.since() + " " + trouble.why().replaceAll("\\p{Cntrl}", " ");
    return "data: " + version + more + "\n\n";
  }

  void close() {
    closing.countDown();
  }
}
