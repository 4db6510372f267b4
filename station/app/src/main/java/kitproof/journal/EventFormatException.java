package kitproof.journal;

import java.io.IOException;
import org.jspecify.annotations.Nullable;

/** A line that is JSON but not an entry this program can read; the message says why. */
public final class EventFormatException extends IOException {
  private static final long serialVersionUID = 1L;

  EventFormatException(String message, @Nullable Throwable cause) {
    super(message, cause);
  }
}
