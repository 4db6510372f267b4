package kitproof.run;

import java.io.IOException;
import java.io.UncheckedIOException;
import kitproof.event.Event;
import kitproof.event.EventSink;

/** Where a run's own thread puts its events: each is a sign of life, and none is torn by a stop. */
final class RunEvents {
  private final EventSink sink;
  private final StopSwitch stop;
  private final Runnable beat;

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

  /** Appends, for one who goes on if it fails. */
  void append(Event event) throws IOException {
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
