package kitproof.procedure;

import java.util.List;
import java.util.Optional;
import kitproof.signal.Band;
import kitproof.signal.Harmonic;
import kitproof.signal.ToneFigures;
import kitproof.uncertainty.NearResidual;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Measurement;
import kitproof.value.Unit;

/**
 * How well the distortion of a tone is known.
 *
 * <p>Besides what the station adds by itself and the path at the harmonics, two things count.
 * Noise, of which a capture holds so many independent values as bandwidth times time: its rms is
 * known to one over twice the root of them (common in the theory of random data), and what of it
 * falls on a harmonic adds to that. And the level: a harmonic of order n goes with the (n-1)th
 * power of it where distortion is small, noise against it, so that a level which is not quite the
 * stated one shows here too.
 */
final class DistortionTrust {
  /** Power is levelled within this. */
  static final double LEVELLED_DB = 0.01;

  private final AudioTrust trust;
  private final ToneBench.Channel channel;
  private final ToneFigures figures;
  private final Optional<StationResidual> own;
  private final double stationNoise;
  private final Band band;
  private final Factor level;

  private DistortionTrust(
      AudioTrust trust,
      ToneBench.Channel channel,
      ToneFigures figures,
      Optional<StationResidual> own,
      double stationNoise,
      Band band) {
    this.trust = trust;
    this.channel = channel;
    this.figures = figures;
    this.own = own;
    this.stationNoise = stationNoise;
    this.band = band;
    this.level = LevelledTrust.level(trust, channel, figures.frequencyHz(), LEVELLED_DB);
  }

  /**
   * Of what came back of a tone, in the range that is in use now; empty on a bench without
   * calibration.
   *
   * @param drivePeakVolts with which it was played
   */
  static Optional<DistortionTrust> of(
      ToneBench audio,
      ToneBench.Channel channel,
      ToneFigures figures,
      double drivePeakVolts,
      Band band) {
    double volts = figures.levelVolts();
    Optional<StationResidual> own = audio.own().of(channel, volts, figures.frequencyHz());
    double gain = volts * Math.sqrt(2) / drivePeakVolts;
    return audio
        .trust()
        .map(
            trust ->
                new DistortionTrust(
                    trust,
                    channel,
                    figures,
                    own,
                    audio.own().noiseRatio(own, channel, volts, gain, band),
                    band));
  }

  /** A figure of this tone by its name: thd+n, thd, or "harmonic 3". */
  Measurement known(Measurement measurement) {
    return Budgeted.on(measurement, value -> of(measurement.name()));
  }

  /**
   * Of a figure.
   *
   * @param name thd+n, thd, or "harmonic 3"; more may follow
   */
  Budgeted of(String name) {
    if (name.startsWith("thd+n")) {
      return thdPlusNoise();
    }
    if (name.startsWith("thd")) {
      return thd();
    }
    int order = Integer.parseInt(name.split(" ", -1)[1]);
    return harmonic(figures.harmonic(order).orElseThrow());
  }

  /** Of thd+n, in percent. */
  private Budgeted thdPlusNoise() {
    double reading = figures.thdPlusNoise();
    double noise = figures.noiseVolts() / figures.totalVolts();
    double share = noise * noise / (reading * reading);
    List<Harmonic> counted =
        figures.harmonics().stream().filter(h -> !band.isAbove(h.frequencyHz())).toList();
    Factor factor = harmonics(counted, reading * figures.totalVolts(), -share);
    factor =
        factor
            .times(statistics(share / (2 * Math.sqrt(independent()))))
            .times(
                trust
                    .noiseVolts(channel, Math.max(20, band.lowHz()), band.highHz())
                    .over(trust.volts(channel, figures.frequencyHz()))
                    .power(share));
    return factor.figure(100 * reading, Unit.PERCENT).and(station(reading, stationNoise));
  }

  /** Of thd, in percent. */
  private Budgeted thd() {
    double reading = figures.thd();
    return harmonics(figures.harmonics(), reading * figures.levelVolts(), 0)
        .times(statistics(noiseInABin() / reading))
        .figure(100 * reading, Unit.PERCENT)
        .and(station(reading, 0));
  }

  /** Of one harmonic, in decibels under the fundamental. */
  private Budgeted harmonic(Harmonic harmonic) {
    double ratio = harmonic.ratio();
    Budgeted near = station(ratio, 0);
    return harmonics(List.of(harmonic), harmonic.volts(), 0)
        .times(statistics(noiseInABin() / ratio))
        .figure(0, Unit.DECIBEL)
        .and(near.scaled(1 / Factor.PER_DECIBEL / (100 * ratio)));
  }

  /** Of thd+n as it was read, in percent, whatever the level was. */
  Budgeted reading() {
    double reading = figures.thdPlusNoise();
    double noise = figures.noiseVolts() / figures.totalVolts();
    double share = noise * noise / (reading * reading);
    return statistics(share / (2 * Math.sqrt(independent())))
        .figure(100 * reading, Unit.PERCENT)
        .and(station(reading, stationNoise));
  }

  /**
   * What goes with harmonics, each by its share in the squares of a sum.
   *
   * @param volts rms of the sum
   * @param more exponent of the level, besides that of the harmonics
   */
  private Factor harmonics(List<Harmonic> parts, double volts, double more) {
    Factor factor = Factor.EXACT;
    double exponent = more;
    Factor tone = trust.volts(channel, figures.frequencyHz());
    for (Harmonic part : parts) {
      double share = part.volts() * part.volts() / (volts * volts);
      exponent += share * (part.order() - 1);
      factor = factor.times(trust.volts(channel, part.frequencyHz()).over(tone).power(share));
    }
    return factor.over(level.power(exponent));
  }

  private static Factor statistics(double relative) {
    return Factor.relative(
        "noise in the capture", Evaluation.TYPE_A, relative, Double.POSITIVE_INFINITY);
  }

  /** How many independent values of noise the capture holds. */
  private double independent() {
    return Math.max(1, (band.highHz() - band.lowHz()) * figures.seconds());
  }

  /** What of the noise falls on one line, in the phase that counts, over the fundamental. */
  private double noiseInABin() {
    return figures.noiseVolts() / figures.levelVolts() / Math.sqrt(2 * independent());
  }

  /** What the station adds by itself, in percent. */
  private Budgeted station(double reading, double noise) {
    if (own.isEmpty()) {
      return Budgeted.lacking("the station's own residual");
    }
    return Budgeted.of(
        NearResidual.of(100 * reading, 100 * noise, 100 * own.get().thd(), Unit.PERCENT).stream()
            .map(line -> line.with(own.get().degreesOfFreedom()))
            .toList());
  }
}
