package kitproof.board;

/** A message that is not what its topic says; the reason is for people. */
final class MalformedException extends Exception {
  private static final long serialVersionUID = 1L;

  MalformedException(String reason) {
    super(reason);
  }
}
