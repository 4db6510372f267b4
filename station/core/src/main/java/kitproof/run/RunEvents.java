package kitproof.run;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import kitproof.event.Event;
import kitproof.event.EventSink;

/** Where a run's own thread puts its events: each is a sign of life, and none is torn by a stop. */
final class RunEvents {
  private final EventSink sink;
  private final StopSwitch stop;
  private final Runnable beat;

  /** Told by other threads, to be kept before what the run's own thread has to tell next. */
  private final Queue<Event> queued = new ConcurrentLinkedQueue<>();

  RunEvents(EventSink sink, StopSwitch stop, Runnable beat) {
    this.sink = sink;
    this.stop = stop;
    this.beat = beat;
  }

  /**
   * Appends.
   *
   * @throws UncheckedIOException if it could not be made durable
   */
  void emit(Event event) {
    try {
      append(event);
    } catch (IOException e) {
      throw new UncheckedIOException(e.getMessage(), e);
    }
  }

  /** From any thread: to be appended before the run's own thread's next. */
  void queue(Event event) {
    queued.add(event);
  }

  /** Appends, for one who goes on if it fails. */
  void append(Event event) throws IOException {
    for (Event other = queued.poll(); other != null; other = queued.poll()) {
      appendOne(other);
    }
    appendOne(event);
  }

  private void appendOne(Event event) throws IOException {
    beat.run();
    stop.shield();
    try {
      var unused = sink.append(event);
    } finally {
      stop.unshield();
    }
    beat.run();
  }
}
