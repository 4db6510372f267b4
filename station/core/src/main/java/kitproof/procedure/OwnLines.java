package kitproof.procedure;

import java.util.List;
import kitproof.signal.Band;
import kitproof.signal.StrayLine;

/**
 * What the station itself may show of single lines, and of noise in a line, behind a unit.
 *
 * @param gain of the unit for the last tone that came back well, as a ratio; 0 if none has
 * @param inputFullScale of the interface's input in its range, rms of a sine
 * @param outputFullScale of the interface's output
 */
record OwnLines(
    StationResiduals own,
    ToneBench.Channel channel,
    List<StationSpur> spurs,
    double gain,
    double inputFullScale,
    double outputFullScale,
    double sampleRateHz) {
  /** The lines that the bench file tells, as they may show at the unit's output. */
  List<StrayLine.Known> known() {
    return spurs.stream().map(spur -> spur.at(gain, inputFullScale, outputFullScale)).toList();
  }

  /**
   * The noise of input and output in so wide a band, rms volts; 0 if it is not told.
   *
   * @param volts rms of the tone at the unit's output
   * @param hertz of the tone
   */
  double noiseVolts(double volts, double hertz, double bandwidth) {
    return volts
        * own.noiseRatio(
            own.of(channel, volts, hertz), channel, volts, gain, new Band(0, bandwidth));
  }

  /** The thd+n of the whole band, as a ratio; as {@link #noiseVolts}. */
  double thdPlusNoise(double volts, double hertz) {
    return own.thdPlusNoise(channel, volts, hertz, gain, new Band(0, sampleRateHz / 2));
  }
}
