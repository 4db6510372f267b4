package kitproof.run;

import java.io.Serial;

/** The run has been asked to stop. */
final class StoppedException extends Exception {
  @Serial private static final long serialVersionUID = 1L;

  StoppedException(String reason) {
    super(reason);
  }
}
