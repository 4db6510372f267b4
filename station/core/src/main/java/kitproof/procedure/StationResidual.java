package kitproof.procedure;

import kitproof.signal.Band;
import kitproof.signal.Levels;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * What the station itself adds to a capture: distortion of its converters, noise of its input, and
 * noise of its output, which the unit amplifies.
 *
 * @param thd ratio, near full scale
 * @param inputNoise rms from 20 Hz to 20 kHz over that of a full-scale sine
 * @param outputNoise the same of an output
 * @param degreesOfFreedom how well they are known; infinite if they are taken as certain
 */
public record StationResidual(
    double thd, double inputNoise, double outputNoise, double degreesOfFreedom) {
  private static final double STATED_BANDWIDTH_HERTZ = 20_000 - 20;

  /** A reading no more than so many times the station's own is limited by it. */
  public static final double LIMITS_BELOW = 3;

  /** Taken as certain. */
  public StationResidual(double thd, double inputNoise, double outputNoise) {
    this(thd, inputNoise, outputNoise, Double.POSITIVE_INFINITY);
  }

  /** From decibels as a bench file has them. */
  public static StationResidual of(Quantity thd, Quantity inputNoise, Quantity outputNoise) {
    return new StationResidual(
        Levels.ratio(thd.in(Unit.DECIBEL)),
        Levels.ratio(inputNoise.in(Unit.DECIBEL)),
        Levels.ratio(outputNoise.in(Unit.DECIBEL)));
  }

  /**
   * The noise that the station would show of a unit that has none, with nothing driven: rms volts.
   *
   * @param inputFullScale of the interface's input in its range, rms of a sine
   * @param bandwidth as wide a band of white noise as what is measured lets through
   */
  double noiseVolts(double inputFullScale, double bandwidth) {
    return inputNoise * inputFullScale * Math.sqrt(bandwidth / STATED_BANDWIDTH_HERTZ);
  }

  /**
   * The noise that the station would show with a perfect unit, as a ratio to the tone.
   *
   * @param outputVolts rms of the tone at the unit's output
   * @param gain of the unit, as a ratio
   * @param inputFullScale of the interface's input in its range, rms of a sine
   * @param outputFullScale of the interface's output
   * @param band where noise is counted
   */
  double noise(
      double outputVolts, double gain, double inputFullScale, double outputFullScale, Band band) {
    double bandwidth = Math.sqrt((band.highHz() - band.lowHz()) / STATED_BANDWIDTH_HERTZ);
    return bandwidth
        * Math.hypot(inputNoise * inputFullScale, outputNoise * outputFullScale * gain)
        / outputVolts;
  }

  /** The thd+n that the station would show with a perfect unit, as a ratio; as {@link #noise}. */
  double thdPlusNoise(
      double outputVolts, double gain, double inputFullScale, double outputFullScale, Band band) {
    return Math.hypot(noise(outputVolts, gain, inputFullScale, outputFullScale, band), thd);
  }
}
