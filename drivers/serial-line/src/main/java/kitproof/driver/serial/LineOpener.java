package kitproof.driver.serial;

import java.time.Duration;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;

/** Opens a line afresh, as often as it was lost. */
@FunctionalInterface
public interface LineOpener {
  /**
   * Opens the line within the time.
   *
   * @throws InstrumentException UNREACHABLE with what a person can do about it
   */
  Line open(BenchClock clock, Duration atMost) throws InstrumentException;
}
