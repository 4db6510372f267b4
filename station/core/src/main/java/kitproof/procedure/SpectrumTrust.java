package kitproof.procedure;

import kitproof.signal.NoiseFloor;
import kitproof.signal.Window;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Contribution.Side;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * How well a line of a spectrum through a flat-top window is known: by full scale and path, by the
 * noise it stands in, by what the station adds to it.
 *
 * <p>A line far below the noise around it says nothing of what is there: what noise may have done
 * to it is told in decibels of the sum of both.
 */
final class SpectrumTrust {
  /** A line between two bins reads low by up to this through the flat top. */
  private static final double BETWEEN_BINS_DB = 0.004;

  private final ToneBench audio;
  private final AudioTrust trust;
  private final ToneBench.Channel channel;
  private final NoiseFloor floor;

  /** Of what a channel gave. */
  SpectrumTrust(ToneBench audio, Block block) {
    this.audio = audio;
    this.trust = audio.trust().orElseThrow();
    this.channel = block.channel();
    this.floor = NoiseFloor.of(block.volts(), audio.sampleRateHz(), Window.FLAT_TOP);
  }

  /** The noise between the lines. */
  NoiseFloor floor() {
    return floor;
  }

  /** Volts of a line. */
  Factor line(double hertz, double volts) {
    return trust.volts(channel, hertz).times(seen(hertz, volts)).times(station(volts));
  }

  /** What noise and the window make of a line. */
  Factor seen(double hertz, double volts) {
    String at = Quantity.of(hertz, Unit.HERTZ).display();
    return Factor.relative(
            "noise around " + at,
            Evaluation.TYPE_A,
            Math.log1p(floor.volts(hertz) / volts) / Math.sqrt(2),
            floor.degreesOfFreedom())
        .times(
            Factor.decibels(
                Contribution.within(
                        "line between two bins at " + at,
                        Distribution.RECTANGULAR,
                        BETWEEN_BINS_DB,
                        Unit.DECIBEL)
                    .on(Side.ABOVE)));
  }

  /** What of a line may be the station's own noise. */
  Factor station(double volts) {
    return trust.stationNoise(
        audio.own().of(channel), volts, audio.own().noiseVolts(channel, floor.bandwidthHz()));
  }

  /**
   * What the station's own distortion, of a phase that nobody knows, may have done to a line.
   *
   * @param tone volts of what it is distortion of
   */
  Factor stationDistortion(double volts, double tone, double hertz) {
    return audio
        .own()
        .of(channel, tone, hertz)
        .map(
            own ->
                Factor.of(
                    Contribution.within(
                            "the station's own distortion",
                            Distribution.ARCSINE,
                            100 * Math.log1p(own.thd() * tone / volts),
                            Unit.PERCENT)
                        .with(own.degreesOfFreedom()),
                    100))
        .orElseGet(() -> Factor.lacking("the station's own residual"));
  }
}
