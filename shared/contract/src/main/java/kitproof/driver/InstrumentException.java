package kitproof.driver;

import java.io.Serial;
import org.jspecify.annotations.Nullable;

/** An instrument did not do what it was asked. */
public class InstrumentException extends Exception {
  @Serial private static final long serialVersionUID = 1L;

  /** What kind of trouble, so that the caller knows who can act. */
  public enum Kind {
    /** Not there, or lost: look at cables, ports, power. */
    UNREACHABLE,
    /** There, but no answer in time. */
    TIMEOUT,
    /** Answered something that makes no sense or says no. */
    PROTOCOL,
    /** Asked for more than it can do. */
    RANGE,
    /** Anything else; the message tells. */
    OTHER
  }

  private final Kind kind;

  public InstrumentException(Kind kind, String message) {
    this(kind, message, null);
  }

  public InstrumentException(Kind kind, String message, @Nullable Throwable cause) {
    super(message, cause);
    this.kind = kind;
  }

  public Kind kind() {
    return kind;
  }
}
