package kitproof.driver;

import kitproof.value.Signal;

/** Plays a stimulus and captures at the same instant, in volts, on one clock. */
public interface AudioInterface extends Instrument {
  /** Rate and channels; fixed while it is open. */
  AudioPorts ports();

  /**
   * Plays the stimulus once and returns what came in meanwhile.
   *
   * <p>The capture has the stimulus' rate and length, one channel per input, and sample 0 of both
   * is the same instant: the interface's own delay is taken out. Afterwards the outputs are silent.
   *
   * @param stimulus volts at the outputs, one channel per output, at the interface's rate
   * @throws InstrumentException RANGE if the stimulus has another rate or number of channels, or
   *     goes beyond an output's full scale
   */
  Capture exchange(Signal stimulus) throws InstrumentException;

  /**
   * Says that no signal follows for a while, or that what the interface is connected to is about to
   * change: what it holds ready for the next one is let go of. The next exchange is as any other.
   */
  default void rest() throws InstrumentException {}
}
