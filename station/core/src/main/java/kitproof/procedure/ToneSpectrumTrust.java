package kitproof.procedure;

import kitproof.signal.Levels;
import kitproof.signal.ToneAnalysis;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Contribution.Evaluation;
import kitproof.value.Contribution.Side;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Unit;

/**
 * How well spectrum and waveforms of a tone at a stated power are known.
 *
 * <p>A harmonic of order n goes with the n-th power of the level, so that a level which is not
 * quite the stated one shows in it; what is no harmonic does not follow. The samples of a waveform
 * have what noise is in them; they begin up to one sample after the zero that they count from.
 */
final class ToneSpectrumTrust {
  /** Half the width of a line through the flat-top window, bins. */
  private static final int LINE_BINS = 5;

  /** A line this much above the noise is one. */
  private static final double IS_LINE = 3;

  private static final int HIGHEST_ORDER = 10;

  private final ToneBench audio;
  private final AudioTrust trust;
  private final ToneBench.Channel channel;
  private final SpectrumTrust lines;
  private final double hertz;
  private final double fundamental;
  private final Factor level;
  private final double[] volts;

  ToneSpectrumTrust(ToneBench audio, Block block, double hertz) {
    this.audio = audio;
    this.trust = audio.trust().orElseThrow();
    this.channel = block.channel();
    this.lines = new SpectrumTrust(audio, block);
    this.hertz = hertz;
    double bin = lines.floor().spectrum().binHz();
    this.fundamental = lines.floor().spectrum().volts((int) Math.rint(hertz / bin));
    this.level = LevelledTrust.level(trust, channel, hertz, DistortionTrust.LEVELLED_DB);
    this.volts = block.volts();
  }

  /** One of the curves of a spectrum step. */
  Measurement known(Measurement result) {
    if (!(result.figure() instanceof Figure.OfCurve of)) {
      return result;
    }
    Curve curve = of.curve();
    return switch (result.name()) {
      case "spectrum" ->
          Budgeted.onCurve(
              result,
              i ->
                  line(curve.x(i), Levels.ratio(curve.y(i)), 0)
                      .figure(curve.y(i), Unit.DECIBEL_VOLT));
      case "harmonic spectrum" -> {
        Factor tone = lines.line(hertz, fundamental);
        yield Budgeted.onCurve(
            result,
            i ->
                line(curve.x(i), fundamental * Levels.ratio(curve.y(i)), 1)
                    .over(tone)
                    .figure(curve.y(i), Unit.DECIBEL));
      }
      case "waveform" -> waveform(result, curve);
      default -> residual(result, curve);
    };
  }

  /**
   * A line of the spectrum.
   *
   * @param reference how many powers of the level the figure is relative to
   */
  private Factor line(double at, double here, int reference) {
    int order = (int) Math.rint(at / hertz);
    boolean near = Math.abs(at - order * hertz) <= LINE_BINS * lines.floor().spectrum().binHz();
    boolean harmonic = near && order >= 1 && here > IS_LINE * lines.floor().volts(at);
    Factor line = lines.line(at, here);
    if (near && order >= 2) {
      line = line.times(lines.stationDistortion(here, fundamental, hertz));
    }
    return harmonic ? line.over(level.power(Math.min(order, HIGHEST_ORDER) - reference)) : line;
  }

  private Measurement waveform(Measurement result, Curve curve) {
    Factor scale = trust.volts(channel, hertz).over(level);
    double noise = lines.floor().ofSamples();
    double residual = Levels.rms(ToneAnalysis.residual(volts, audio.sampleRateHz(), hertz));
    double path = pathAtHarmonics();
    if (Double.isNaN(path)) {
      return Budgeted.onCurve(result, i -> Budgeted.lacking("level and phase of the path"));
    }
    return Budgeted.onCurve(
        result,
        i ->
            scale
                .figure(curve.y(i), Unit.VOLT)
                .and(
                    noise(noise, Unit.VOLT),
                    place(curve, i),
                    Contribution.known(
                        "path at the harmonics", Distribution.NORMAL, residual * path, Unit.VOLT)));
  }

  /** Taken for a third harmonic, which goes with the square of the level. */
  private Measurement residual(Measurement result, Curve curve) {
    Factor scale =
        trust
            .volts(channel, Math.min(3 * hertz, audio.sampleRateHz() / 2.2))
            .over(trust.volts(channel, hertz))
            .over(level.power(2));
    double percent = 100 / (Math.sqrt(2) * fundamental);
    double noise = lines.floor().ofSamples() * percent;
    double path = pathAtHarmonics();
    var own = audio.own().of(channel, fundamental, hertz);
    if (Double.isNaN(path) || own.isEmpty()) {
      return Budgeted.onCurve(
          result,
          i ->
              Budgeted.lacking(
                  own.isEmpty() ? "the station's own residual" : "level and phase of the path"));
    }
    double rms = Levels.rms(curve.ys());
    Contribution station =
        Contribution.within(
                "the station's own distortion",
                Distribution.ARCSINE,
                100 * own.get().thd(),
                Unit.PERCENT)
            .with(own.get().degreesOfFreedom());
    return Budgeted.onCurve(
        result,
        i ->
            scale
                .figure(curve.y(i), Unit.PERCENT)
                .and(
                    noise(noise, Unit.PERCENT),
                    place(curve, i),
                    station,
                    Contribution.known(
                        "path at the harmonics", Distribution.NORMAL, rms * path, Unit.PERCENT)));
  }

  /** How far level and phase of the path may be off up to the fifth harmonic, as a part of it. */
  private double pathAtHarmonics() {
    double most = 0;
    for (int order = 1; order <= 5 && order * hertz < audio.sampleRateHz() / 2.2; order++) {
      double off =
          Math.hypot(
              trust.path().levelStandard(channel, order * hertz) * Factor.PER_DECIBEL,
              Math.toRadians(trust.path().phaseStandard(channel, order * hertz)));
      most = Double.isNaN(off) ? off : Math.max(most, off);
    }
    return most;
  }

  private Contribution noise(double standard, Unit unit) {
    return new Contribution(
        "noise in a sample",
        Evaluation.TYPE_A,
        Distribution.NORMAL,
        Side.BOTH,
        standard,
        unit,
        1,
        lines.floor().degreesOfFreedom());
  }

  /** The first sample is the one after the zero, by anything up to a whole one. */
  private Contribution place(Curve curve, int i) {
    return place(curve, i, audio.sampleRateHz());
  }

  /** The same of any waveform that {@link Traces} has made. */
  static Contribution place(Curve curve, int i, double rate) {
    int from = Math.max(0, i - 1);
    int to = Math.min(curve.size() - 1, i + 1);
    double slope = to > from ? (curve.y(to) - curve.y(from)) / (curve.x(to) - curve.x(from)) : 0;
    return Contribution.within(
        "place of the first sample",
        Distribution.RECTANGULAR,
        Math.abs(slope) / rate,
        curve.yUnit());
  }
}
