package kitproof.interlock;

import kitproof.driver.InstrumentException;
import kitproof.driver.Reading;

/** How interlocks come to the bench's instruments, which they share with the steps. */
public interface MeterAccess {
  /**
   * Reads; waits behind one call of a step at most, as a step waits behind one of these: each has
   * one call under way, and a meter takes them in turn.
   */
  Reading read(String meter, String function) throws InstrumentException;

  /** Whether a call of this meter is under way. */
  boolean reading(String meter);

  /**
   * Whether relays are being switched: a command to them has to wait for the end of that. False for
   * a switching that has missed its deadline, which nobody waits for any more.
   */
  boolean switching();
}
