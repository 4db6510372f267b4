package kitproof.procedure;

import java.util.List;
import java.util.Optional;
import kitproof.signal.Band;

/**
 * What the station itself adds to what a step measures, at the levels of the moment: as calibrated,
 * or else as the bench file says it.
 */
final class StationResiduals {
  /** Where the residual of a signal that is no single tone is looked up. */
  private static final double REFERENCE_HERTZ = 1000;

  private final Optional<AudioTrust> trust;
  private final Optional<StationResidual> told;
  private final InputRanges ranges;

  /**
   * Of a bench.
   *
   * @param trust in its calibration; empty without one
   * @param told by the bench file
   */
  StationResiduals(Optional<AudioTrust> trust, Optional<StationResidual> told, InputRanges ranges) {
    this.trust = trust;
    this.told = told;
    this.ranges = ranges;
  }

  private double inputFullScale(ToneBench.Channel channel) {
    return channel.highestInputPeakVolts() * ranges.ratio() / Math.sqrt(2);
  }

  private static double outputFullScale(ToneBench.Channel channel) {
    return channel.highestDrivePeakVolts() / Math.sqrt(2);
  }

  /**
   * What it adds to a tone; empty if it is not known.
   *
   * @param outputVolts of the unit, rms
   */
  Optional<StationResidual> of(ToneBench.Channel channel, double outputVolts, double hertz) {
    return trust
        .flatMap(
            known ->
                known.residual(
                    channel,
                    inputFullScale(channel),
                    outputFullScale(channel),
                    outputVolts,
                    hertz,
                    told))
        .or(() -> told);
  }

  /** What it adds with nothing driven; empty if it is not known. */
  Optional<StationResidual> of(ToneBench.Channel channel) {
    return of(channel, inputFullScale(channel), REFERENCE_HERTZ);
  }

  /**
   * The noise that it adds to a tone, as a ratio to it; 0 if it is not known.
   *
   * @param own what it adds there
   * @param gain of the unit, as a ratio
   */
  double noiseRatio(
      Optional<StationResidual> own,
      ToneBench.Channel channel,
      double outputVolts,
      double gain,
      Band band) {
    return own.map(
            station ->
                station.noise(
                    outputVolts, gain, inputFullScale(channel), outputFullScale(channel), band))
        .orElse(0.0);
  }

  /**
   * The thd+n that it would show here, as a ratio; 0 if it is not known.
   *
   * @param gain of the unit, as a ratio
   */
  double thdPlusNoise(
      ToneBench.Channel channel, double outputVolts, double hertz, double gain, Band band) {
    return of(channel, outputVolts, hertz)
        .map(
            own ->
                own.thdPlusNoise(
                    outputVolts, gain, inputFullScale(channel), outputFullScale(channel), band))
        .orElse(0.0);
  }

  /** Its noise with nothing driven, rms volts; 0 if it is not told. */
  double noiseVolts(ToneBench.Channel channel, double bandwidth) {
    return of(channel).map(own -> own.noiseVolts(inputFullScale(channel), bandwidth)).orElse(0.0);
  }

  /** Its thd, as a ratio; 0 if it is not known. */
  double thd(ToneBench.Channel channel, double outputVolts, double hertz) {
    return of(channel, outputVolts, hertz).map(StationResidual::thd).orElse(0.0);
  }

  /**
   * The lines that it shows of itself, and its noise in a line.
   *
   * @param spurs that the bench file tells
   * @param gain of the unit, as a ratio; 0 if it is not known
   */
  OwnLines lines(
      ToneBench.Channel channel, List<StationSpur> spurs, double gain, double sampleRateHz) {
    return new OwnLines(
        this,
        channel,
        spurs,
        gain,
        inputFullScale(channel),
        outputFullScale(channel),
        sampleRateHz);
  }
}
