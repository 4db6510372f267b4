package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.StrayLine;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * The strongest line at the output that is no harmonic of the drive, up to the highest frequency
 * the interface has: what an unstable amplifier gives itself away by.
 *
 * <p>Which load is on the output, plain or with a capacitor across it, is selected by the step; the
 * setting {@code load} names it in the results, so that the two can be told apart.
 *
 * <p>A line of the station's own converters is not told from the unit's: what is known of the
 * station is its harmonics and its noise, and no single lines.
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
        block -> figures(StrayLine.of(block.volts(), tone, band)),
        block ->
            new StrayLineTrust(audio, block, StrayLine.of(block.volts(), tone, band), hertz)
                ::known);
  }

  static List<Figure> figures(StrayLine line) {
    return List.of(
        Promised.figure(Promised.decibels(line.volts()), Unit.DECIBEL_VOLT),
        line.standsOut()
            ? Promised.figure(line.frequencyHz(), Unit.HERTZ)
            : new Figure.Invalid("no line stands out of the noise"));
  }
}
