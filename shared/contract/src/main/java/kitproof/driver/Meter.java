package kitproof.driver;

import java.util.List;

/**
 * Reads declared functions, such as DC volts on a range.
 *
 * <p>A reading is taken after the call, never one that was waiting. An input beyond the range is
 * {@link Reading.Overload}, not a large number.
 */
public interface Meter extends Instrument {
  /** What this meter can read, by name; fixed while it is open, at least one. */
  List<MeterFunction> functions();

  /**
   * Takes one reading.
   *
   * @param function a name from {@link #functions()}
   * @throws InstrumentException RANGE if there is no such function
   */
  Reading read(String function) throws InstrumentException;
}
