package kitproof.driver;

import java.util.Map;
import java.util.Set;

/** The bare relays behind a {@link RouteSwitcher}: what a driver for a new board implements. */
public interface RelayBoard extends AutoCloseable {
  Identity identity();

  /**
   * Asks who is there, where the protocol can tell; as {@link Instrument#recognise}.
   *
   * @throws InstrumentException PROTOCOL if it is not the one of {@link #identity()}
   */
  default void recognise() throws InstrumentException {}

  /**
   * Energises or releases relays, all that are named, in one go where the board can.
   *
   * @param wanted relay name to energised
   */
  void set(Map<String, Boolean> wanted) throws InstrumentException;

  /** The relays that are energised, as the board reads them back. */
  Set<String> energised() throws InstrumentException;

  /** Lets go of the board; does not switch anything. The second call does nothing. */
  @Override
  void close() throws InstrumentException;
}
