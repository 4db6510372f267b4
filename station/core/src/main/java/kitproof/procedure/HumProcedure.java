package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.Levels;
import kitproof.signal.Spectrum;
import kitproof.signal.Window;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * What the mains leaves at the output while nothing is played and the inputs are closed by what the
 * bench's mute closes them with: lines at the mains frequency and its multiples in dBV, their
 * total, and the spectrum they stand in.
 *
 * <p>Through a flat-top window (Heinzel, Rüdiger, Schilling 2002), so that a line's level is right
 * though the mains keeps no step with the samples.
 */
final class HumProcedure extends HeardProcedure<HumProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the mains frequency")
          @In(Unit.HERTZ)
          @Initially("50 Hz")
          @Bounds(low = 10, high = 500)
          Quantity mains,
      @Meaning("how many lines, the mains frequency itself the first")
          @Initially("6")
          @Bounds(low = 1, high = 50)
          int lines,
      @Meaning("where the spectrum ends")
          @In(Unit.HERTZ)
          @Initially("1 kHz")
          @Bounds(low = 100, high = 20e3)
          Quantity highest,
      @Meaning("how long to listen") @Initially("1 s") @Bounds(low = 0.5) Duration listen) {
    Settings {
      if (lines * mains.in(Unit.HERTZ) > highest.in(Unit.HERTZ)) {
        throw new IllegalArgumentException("a spectrum that reaches to the last line");
      }
    }
  }

  /** Lines of 50 Hz mains stay apart up to 2 kHz, and what lies between is not a black bar. */
  private static final int POINTS_PER_OCTAVE = 36;

  /** How far the mains frequency may be from its name, by more than any grid's is. */
  private static final double MAINS_OFF = 0.01;

  HumProcedure() {
    super("hum", Settings.class);
  }

  @Override
  String audio(Settings settings) {
    return settings.audio;
  }

  @Override
  Duration expected(Settings settings) {
    return settings.listen.plusSeconds(1);
  }

  @Override
  public Outline outline(Settings settings) {
    return Outline.ofListening(promises(settings), settings.audio, expected(settings));
  }

  @Override
  List<Outline.Promise> promises(Settings settings) {
    List<Outline.Promise> promises = new ArrayList<>();
    promises.add(
        Outline.Promise.ofChannel("hum spectrum", Conditions.NONE, Unit.DECIBEL_VOLT, true)
            .known(Outline.Basis.INPUT, Outline.Basis.RESIDUAL));
    promises.add(
        Outline.Promise.ofChannel("hum", Conditions.NONE, Unit.DECIBEL_VOLT, false)
            .known(Outline.Basis.INPUT, Outline.Basis.RESIDUAL));
    for (int order = 1; order <= settings.lines; order++) {
      String name = "hum " + line(settings, order).display();
      promises.add(
          Outline.Promise.ofChannel(name, Conditions.NONE, Unit.DECIBEL_VOLT, false)
              .known(Outline.Basis.INPUT, Outline.Basis.RESIDUAL));
    }
    return promises;
  }

  private static Quantity line(Settings settings, int order) {
    return Quantity.of(order * settings.mains.in(Unit.HERTZ), Unit.HERTZ);
  }

  @Override
  Take<Block> take(Settings settings, StepBench bench, ToneBench audio) throws InstrumentException {
    audio.requireLoads();
    double rate = audio.sampleRateHz();
    List<Block> blocks = Block.silent(audio, (int) (settings.listen.toNanos() / 1e9 * rate));
    return Take.looked(
        blocks,
        block -> figures(block.volts(), rate, settings),
        block -> {
          SpectrumTrust lines = new SpectrumTrust(audio, block);
          return result -> known(settings, audio, block.channel(), lines, result);
        });
  }

  @Override
  Measurement noted(
      Settings settings, ToneBench audio, ToneBench.Channel channel, Measurement measurement) {
    if (!(measurement.figure() instanceof Figure.OfQuantity of)) {
      return measurement;
    }
    // A flat-top line is as wide as some bins; the total holds all lines.
    double line = Window.FLAT_TOP.noiseBandwidthBins() / (settings.listen.toNanos() / 1e9);
    double width = measurement.name().equals("hum") ? settings.lines * line : line;
    double volts = Levels.ratio(of.quantity().in(Unit.DECIBEL_VOLT));
    double own = audio.own().noiseVolts(channel, width);
    return OwnResidual.notedNoise(measurement, volts, own);
  }

  private static Measurement known(
      Settings settings,
      ToneBench audio,
      ToneBench.Channel channel,
      SpectrumTrust lines,
      Measurement result) {
    if (result.figure() instanceof Figure.OfCurve of) {
      Curve curve = of.curve();
      return Budgeted.onCurve(
          result,
          i ->
              lines
                  .line(curve.x(i), Levels.ratio(curve.y(i)))
                  .figure(curve.y(i), Unit.DECIBEL_VOLT));
    }
    // A total is made of lines each on its own; the lowest is known least of them.
    boolean total = result.name().equals("hum");
    double hertz =
        total
            ? settings.mains.in(Unit.HERTZ)
            : Quantity.parse(result.name().substring("hum ".length()), Unit.HERTZ).value();
    return audio.known(
        result,
        trust -> {
          double volts = Levels.ratio(((Figure.OfQuantity) result.figure()).quantity().value());
          double width = (total ? settings.lines : 1) * lines.floor().bandwidthHz();
          return trust
              .volts(channel, hertz)
              .times(lines.seen(hertz, volts))
              .times(
                  trust.stationNoise(
                      audio.own().of(channel), volts, audio.own().noiseVolts(channel, width)));
        });
  }

  /** The spectrum's points are of lines of a flat-top window. */
  @Override
  Measurement said(Settings settings, ToneBench audio, Heard heard, Measurement measurement) {
    if (!(measurement.figure() instanceof Figure.OfCurve of)) {
      return measurement;
    }
    double line = Window.FLAT_TOP.noiseBandwidthBins() / (settings.listen.toNanos() / 1e9);
    double[] own = new double[of.curve().size()];
    Arrays.fill(own, audio.own().noiseVolts(heard.channel(), line));
    return OwnResidual.notedNoise(measurement, own);
  }

  static List<Figure> figures(double[] volts, double rate, Settings settings) {
    Spectrum spectrum = Spectrum.of(volts, rate, Window.FLAT_TOP);
    // Below this the window smears what direct voltage there is.
    double lowest = 6 * spectrum.binHz();
    Curve curve =
        spectrum.envelope(new Band(lowest, settings.highest.in(Unit.HERTZ)), POINTS_PER_OCTAVE);
    List<Figure> lines = new ArrayList<>();
    double squares = 0;
    for (int order = 1; order <= settings.lines; order++) {
      double hertz = line(settings, order).in(Unit.HERTZ);
      double room = hertz * MAINS_OFF + spectrum.binHz();
      double level = spectrum.volts(spectrum.strongest(new Band(hertz - room, hertz + room)));
      squares += level * level;
      lines.add(Promised.figure(Promised.decibels(level), Unit.DECIBEL_VOLT));
    }
    List<Figure> figures = new ArrayList<>();
    figures.add(Promised.decibels(curve, 1, Unit.DECIBEL_VOLT));
    figures.add(Promised.figure(Promised.decibels(Math.sqrt(squares)), Unit.DECIBEL_VOLT));
    figures.addAll(lines);
    return figures;
  }
}
