package kitproof.procedure;

import kitproof.signal.StrayLine;

/**
 * A single line that the station shows without a unit.
 *
 * @param hertz where it lies
 * @param input over full scale of an input, whatever its range; 0 if it is none of the inputs'
 * @param output over full scale of an output; 0 if it is none of the outputs'
 */
public record StationSpur(double hertz, double input, double output) {
  /** A line a little above what it was, by 3 dB, is still the station's. */
  private static final double ROOM = Math.sqrt(2);

  /**
   * The most that it may show as, at a unit's output.
   *
   * @param gain of the unit, as a ratio
   * @param inputFullScale of the interface's input in its range, rms of a sine
   * @param outputFullScale of the interface's output
   */
  StrayLine.Known at(double gain, double inputFullScale, double outputFullScale) {
    return new StrayLine.Known(
        hertz, ROOM * (input * inputFullScale + output * outputFullScale * gain));
  }
}
