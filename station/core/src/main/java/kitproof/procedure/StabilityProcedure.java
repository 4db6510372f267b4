package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import java.util.Locale;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.signal.StrayLine;
import kitproof.signal.Window;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * The strongest line at the output that is no harmonic of the drive, up to the highest frequency
 * the interface has: what an unstable amplifier gives itself away by.
 *
 * <p>Which load is on the output, plain or with a capacitor across it, is selected by the step; the
 * setting {@code load} names it in the results, so that the two can be told apart.
 *
 * <p>Lines that the station shows without a unit, as the bench file tells them under residual, are
 * passed over unless more is found there than they may have.
 */
final class StabilityProcedure extends HeardProcedure<StabilityProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power to drive to") @In(Unit.WATT) @Bounds(low = 1e-6) Quantity power,
      @Meaning("the tone") @In(Unit.HERTZ) @Initially("1 kHz") @Bounds(low = 100)
          Quantity frequency,
      @Meaning("from where on a line is looked for")
          @In(Unit.HERTZ)
          @Initially("5 kHz")
          @Bounds(low = 20)
          Quantity from,
      @Meaning("what the results call the load that the step selects") @Initially("plain")
          String load,
      @Meaning("how long to listen") @Initially("300 ms") @Bounds(low = 0.3) Duration listen) {}

  StabilityProcedure() {
    super("stability", Settings.class);
  }

  @Override
  String audio(Settings settings) {
    return settings.audio;
  }

  @Override
  Duration expected(Settings settings) {
    return settings.listen.plusSeconds(3);
  }

  @Override
  Outline.Drive drive(Settings settings) {
    return new Outline.Drive(settings.power, settings.listen);
  }

  @Override
  List<Outline.Promise> promises(Settings settings) {
    Conditions more = Conditions.of("power", settings.power.display()).with("load", settings.load);
    return List.of(
        Outline.Promise.ofChannel("stray line", more, Unit.DECIBEL_VOLT, false)
            .known(Outline.Basis.INPUT, Outline.Basis.RESIDUAL),
        Outline.Promise.ofChannel("stray line frequency", more, Unit.HERTZ, false)
            .known(Outline.Basis.OBSERVED));
  }

  @Override
  Take<Block> take(Settings settings, StepBench bench, ToneBench audio) throws InstrumentException {
    double hertz = settings.frequency.in(Unit.HERTZ);
    double from = settings.from.in(Unit.HERTZ);
    if (from >= audio.sampleRateHz() / 2) {
      String trouble = settings.from.display() + " is beyond half of the interface's sample rate";
      return new Take<>(Block.unusable(audio, trouble), block -> List.of());
    }
    List<Levelling.Level> levels = Levelling.toPower(audio, hertz, settings.power);
    CoherentTone tone = audio.tone(hertz, settings.listen.toNanos() / 1e9);
    Band band = new Band(from, audio.sampleRateHz() / 2);
    return Take.looked(
        Block.ofTone(audio, levels, tone),
        block -> figures(line(audio, block, tone, band)),
        block -> new StrayLineTrust(audio, block, line(audio, block, tone, band), hertz)::known);
  }

  /** The strongest that is not the station's own. */
  private static StrayLine line(ToneBench audio, Block block, CoherentTone tone, Band band) {
    return StrayLine.of(block.volts(), tone, band, audio.ownLines(block.channel()).known());
  }

  @Override
  Measurement said(Settings settings, ToneBench audio, Heard heard, Measurement measurement)
      throws InstrumentException {
    if (!(heard instanceof Block block) || !block.trouble().isEmpty()) {
      return measurement;
    }
    double hertz = settings.frequency.in(Unit.HERTZ);
    CoherentTone tone = audio.tone(hertz, settings.listen.toNanos() / 1e9);
    Band band = new Band(settings.from.in(Unit.HERTZ), audio.sampleRateHz() / 2);
    Measurement said =
        audio.ownLines(block.channel()).known().isEmpty()
            ? measurement // nothing was passed over: no need to look again
            : passedOver(
                StrayLine.of(block.volts(), tone, band),
                line(audio, block, tone, band),
                measurement);
    return said.figure() instanceof Figure.OfQuantity of
            && of.quantity().unit() == Unit.DECIBEL_VOLT
        ? OwnResidual.notedNoise(
            said,
            Levels.ratio(of.quantity().value()),
            highestOfNoise(settings, audio, block.channel(), tone, band))
        : said;
  }

  /** The measurement, with a note of the strongest line if that is the station's own. */
  static Measurement passedOver(StrayLine all, StrayLine found, Measurement measurement) {
    return all.frequencyHz() == found.frequencyHz() || !all.standsOut()
        ? measurement
        : measurement.noted(
            String.format(
                Locale.ROOT,
                "a line of %.1f dBV at %s is the station's own and passed over",
                Promised.decibels(all.volts()),
                Quantity.of(all.frequencyHz(), Unit.HERTZ).display()));
  }

  /**
   * What the strongest of all lines of the station's own noise comes to: of n powers that are
   * exponentially distributed the highest is the mean times the logarithm of n (closed form).
   */
  private static double highestOfNoise(
      Settings settings, ToneBench audio, ToneBench.Channel channel, CoherentTone tone, Band band)
      throws InstrumentException {
    double bin = tone.sampleRateHz() / tone.blockLength();
    double volts = Levels.volts(settings.power.in(Unit.WATT), audio.loadOhms(channel));
    double line =
        audio
            .ownLines(channel)
            .noiseVolts(
                volts,
                settings.frequency.in(Unit.HERTZ),
                Window.FLAT_TOP.noiseBandwidthBins() * bin);
    return line * Math.sqrt(Math.log(Math.max(2, (band.highHz() - band.lowHz()) / bin)));
  }

  static List<Figure> figures(StrayLine line) {
    return List.of(
        Promised.figure(Promised.decibels(line.volts()), Unit.DECIBEL_VOLT),
        line.standsOut()
            ? Promised.figure(line.frequencyHz(), Unit.HERTZ)
            : new Figure.Invalid("no line stands out of the noise"));
  }
}
