package kitproof.store;

/** The index cannot be used; the records are as they were. */
public final class IndexException extends Exception {
  private static final long serialVersionUID = 1L;

  IndexException(String message, Throwable cause) {
    super(message, cause);
  }
}
