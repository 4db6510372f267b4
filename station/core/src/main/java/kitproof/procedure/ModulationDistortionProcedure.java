package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import java.util.OptionalDouble;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.signal.IntermodulationFigures;
import kitproof.signal.TwoTone;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Modulation distortion of a low and a high tone, 4 to 1 in amplitude (SMPTE RP 120, IEC 60268-3),
 * 60 Hz and 7 kHz unless the plan says otherwise: what the low tone does to the high one.
 *
 * <p>The sidebands at f2 ± n·f1 are told in dB relative to the high tone. The distortions of second
 * and third order are the sums of a pair over the high tone (IEC 60268-3); "modulation distortion"
 * without an order is the root of their squares, the percentage of amplitude modulation.
 */
final class ModulationDistortionProcedure
    implements Procedure<ModulationDistortionProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power of the sine with the same peak") @In(Unit.WATT) @Bounds(low = 1e-6)
          Quantity power,
      @Meaning("the lower tone, f1") @In(Unit.HERTZ) @Initially("60 Hz") @Bounds(low = 10)
          Quantity low,
      @Meaning("the higher tone, f2") @In(Unit.HERTZ) @Initially("7 kHz") @Bounds(low = 10)
          Quantity high,
      @Meaning("how long to listen") @Initially("300 ms") @Bounds(low = 0.05) Duration listen) {
    Settings {
      if (!(high.in(Unit.HERTZ) >= 4 * low.in(Unit.HERTZ))) {
        throw new IllegalArgumentException(
            "two tones, the higher two octaves or more above the lower");
      }
    }
  }

  /** The lower tone's share of the peak. */
  private static final double LOW_SHARE = 0.8;

  @Override
  public String id() {
    return "modulation-distortion";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    return new Outline(
            promises(settings),
            List.of(new Outline.Need(settings.audio, InstrumentKind.AUDIO_INTERFACE, "")),
            true,
            Outline.MainsUse.NONE,
            settings.listen.multipliedBy(2).plusSeconds(3))
        .driving(settings.power, Duration.ZERO);
  }

  static List<Outline.Promise> promises(Settings settings) {
    Conditions more =
        Conditions.of("power", settings.power.display())
            .with("tones", settings.low.display() + " and " + settings.high.display());
    return List.of(
        Outline.Promise.ofChannel("modulation distortion", more, Unit.PERCENT, false),
        Outline.Promise.ofChannel("modulation distortion 2", more, Unit.PERCENT, false),
        Outline.Promise.ofChannel("modulation distortion 3", more, Unit.PERCENT, false),
        Outline.Promise.ofChannel("sideband f2-f1", more, Unit.DECIBEL, false),
        Outline.Promise.ofChannel("sideband f2+f1", more, Unit.DECIBEL, false),
        Outline.Promise.ofChannel("sideband f2-2f1", more, Unit.DECIBEL, false),
        Outline.Promise.ofChannel("sideband f2+2f1", more, Unit.DECIBEL, false));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ToneBench audio = ToneBench.of(bench, settings.audio);
    double low = settings.low.in(Unit.HERTZ);
    double high = settings.high.in(Unit.HERTZ);
    double slowest = Math.min(low, high - low);
    double seconds = Math.max(settings.listen.toNanos() / 1e9, 4 / slowest);
    double rate = audio.sampleRateHz();
    if (high >= Levelling.HIGHEST_OF_RATE * rate) {
      return Promised.results(
          promises(settings),
          Block.unusable(
              audio, settings.high.display() + " is too near half of the interface's sample rate"),
          block -> List.of());
    }
    TwoTone tones = TwoTone.of(low, high, rate, (int) (seconds * rate));
    List<Block> blocks = TwoTones.play(audio, tones, LOW_SHARE, settings.power);
    return Promised.results(
        promises(settings), blocks, block -> figures(tones.analyse(block.volts())));
  }

  static List<Figure> figures(IntermodulationFigures found) {
    return List.of(
        percent(found.modulation()),
        percent(found.secondOrderModulation()),
        percent(found.thirdOrderModulation()),
        sideband(found, -1),
        sideband(found, 1),
        sideband(found, -2),
        sideband(found, 2));
  }

  private static Figure percent(OptionalDouble ratio) {
    return ratio.isPresent()
        ? Promised.percent(ratio.getAsDouble())
        : new Figure.Invalid("a sideband lies above half the sample rate");
  }

  private static Figure sideband(IntermodulationFigures found, int low) {
    OptionalDouble volts = found.productVolts(low, 1);
    return volts.isPresent()
        ? Promised.figure(Promised.decibels(volts.getAsDouble() / found.highVolts()), Unit.DECIBEL)
        : new Figure.Invalid("it lies above half the sample rate");
  }
}
