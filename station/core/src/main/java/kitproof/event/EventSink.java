package kitproof.event;

import java.io.IOException;

/**
 * Where the sequencer puts its events: on return they are durable.
 *
 * <p>Its thread is not interrupted meanwhile, as an interrupt would close the file that is written.
 */
@FunctionalInterface
public interface EventSink {
  /**
   * Appends.
   *
   * @return the entry as it was kept
   * @throws IOException if it could not be made durable; the run then ends as error
   */
  Entry append(Event event) throws IOException;
}
