package kitproof.driver;

import java.util.Set;

/**
 * Connects loads, taps, drive and mains through named routes onto relays.
 *
 * <p>Within a group one route at a time is selected; changing it breaks before it makes, waits the
 * settle time and reads back what the relays really do. {@link #makeSafe()} is {@link #openAll()}.
 * NOTE: with every relay at rest the bench must be in its safe state by its wiring: drive muted,
 * mains off, loads connected through resting contacts.
 */
public interface Switcher extends Instrument {
  /**
   * Selects a route and leaves its group's other routes. On return it has settled.
   *
   * @throws InstrumentException RANGE for an unknown route; PROTOCOL if a relay did not move
   */
  void select(String route) throws InstrumentException;

  /** The routes whose every relay is as the route says, as read back from the board. */
  Set<String> closed() throws InstrumentException;

  /** All relays at rest: drive first, then mains, then the others. Tries all, then reports. */
  void openAll() throws InstrumentException;
}
