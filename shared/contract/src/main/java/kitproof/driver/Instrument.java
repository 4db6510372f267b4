package kitproof.driver;

/**
 * Something on the bench that the station talks to.
 *
 * <p>Calls come from one thread at a time, except {@link #close()}, which may come from another
 * thread to free a call that does not return. A call that cannot do what it says throws {@link
 * InstrumentException} within its deadline; it never returns an old or made-up answer.
 */
public interface Instrument extends AutoCloseable {
  /** Who answers, as the instrument itself says it; read when it was opened. */
  Identity identity();

  /**
   * Asks who is there, where the protocol can tell, so that an instrument which was exchanged for
   * another is noticed; a station asks between readings. Does nothing where it cannot be told.
   *
   * @throws InstrumentException PROTOCOL if it is not the one of {@link #identity()}
   */
  default void recognise() throws InstrumentException {}

  /** Leaves the instrument so that it can do no harm. May be called at any time, repeatedly. */
  void makeSafe() throws InstrumentException;

  /** Makes safe and lets go. The second call does nothing. */
  @Override
  void close() throws InstrumentException;
}
