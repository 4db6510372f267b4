package kitproof.mqtt;

import java.io.IOException;
import java.time.Duration;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Hears what a broker has to tell, from the retained messages on, for as long as it is open; comes
 * back by itself when the link is lost, and then hears the retained messages again.
 */
public final class Listener implements AutoCloseable {
  /** Who is told; called from one thread at a time, and may take its time. */
  public interface Ear {
    /**
     * A message came.
     *
     * @param payload for the receiver to keep
     */
    void message(String topic, byte[] payload);

    /**
     * A station's last will came that the broker has kept for a while.
     *
     * @param age how long
     */
    default void will(String topic, byte[] payload, Duration age) {
      message(topic, payload);
    }

    /**
     * The link came up, or went down or could not be made.
     *
     * @param trouble null while it is up
     */
    void link(@Nullable String trouble);
  }

  private final BrokerAddress broker;
  private final Credentials credentials;
  private final List<String> filters;
  private final Ear ear;
  private final Backoff backoff;
  private final Object stir = new Object();
  private final Thread thread;
  private boolean lost;
  private volatile boolean closed;

  private Listener(
      BrokerAddress broker,
      Credentials credentials,
      List<String> filters,
      Ear ear,
      Backoff backoff) {
    this.broker = broker;
    this.credentials = credentials;
    this.filters = List.copyOf(filters);
    this.ear = ear;
    this.backoff = backoff;
    thread = new Thread(this::work, "mqtt-listener");
    thread.setDaemon(true);
  }

  /**
   * Starts listening.
   *
   * @param filters of topics, subscribed to one after the other in this order
   */
  public static Listener start(
      BrokerAddress broker, Credentials credentials, List<String> filters, Ear ear) {
    Backoff quick = new Backoff(Duration.ofMillis(250), Duration.ofSeconds(2));
    Listener listener = new Listener(broker, credentials, filters, ear, quick);
    listener.thread.start();
    return listener;
  }

  private void work() {
    int failures = 0;
    while (!closed) {
      synchronized (stir) {
        lost = false;
      }
      try (PahoEar link = PahoEar.connect(broker, credentials, ear, this::lose)) {
        link.subscribe(filters);
        ear.link(null);
        failures = 0;
        await(Long.MAX_VALUE);
        if (!closed) {
          ear.link("the broker " + broker + " is gone");
        }
      } catch (IOException e) {
        ear.link(e.getMessage());
      }
      failures++;
      synchronized (stir) {
        lost = false;
      }
      await(backoff.after(failures).toMillis());
    }
  }

  private void lose() {
    synchronized (stir) {
      lost = true;
      stir.notifyAll();
    }
  }

  /** Until the link is lost, it is closed, or the time is over. */
  private void await(long millis) {
    synchronized (stir) {
      try {
        if (millis == Long.MAX_VALUE) {
          while (!lost && !closed) {
            stir.wait();
          }
        } else if (!closed) {
          stir.wait(millis);
        }
      } catch (InterruptedException e) {
        closed = true;
      }
    }
  }

  @Override
  public void close() {
    synchronized (stir) {
      closed = true;
      stir.notifyAll();
    }
    try {
      thread.join(1000);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
