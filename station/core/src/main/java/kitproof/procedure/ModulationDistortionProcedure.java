package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import java.util.OptionalDouble;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.IntermodulationFigures;
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
    extends HeardProcedure<ModulationDistortionProcedure.Settings> {
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

  ModulationDistortionProcedure() {
    super("modulation-distortion", Settings.class);
  }

  @Override
  String audio(Settings settings) {
    return settings.audio;
  }

  @Override
  Duration expected(Settings settings) {
    return settings.listen.multipliedBy(2).plusSeconds(3);
  }

  @Override
  Outline.Drive drive(Settings settings) {
    return new Outline.Drive(settings.power, Duration.ZERO);
  }

  @Override
  List<Outline.Promise> promises(Settings settings) {
    Conditions more =
        Conditions.of("power", settings.power.display())
            .with("tones", settings.low.display() + " and " + settings.high.display());
    return List.of(
        promise("modulation distortion", more, Unit.PERCENT),
        promise("modulation distortion 2", more, Unit.PERCENT),
        promise("modulation distortion 3", more, Unit.PERCENT),
        promise("sideband f2-f1", more, Unit.DECIBEL),
        promise("sideband f2+f1", more, Unit.DECIBEL),
        promise("sideband f2-2f1", more, Unit.DECIBEL),
        promise("sideband f2+2f1", more, Unit.DECIBEL));
  }

  private static Outline.Promise promise(String name, Conditions more, Unit unit) {
    return Outline.Promise.ofChannel(name, more, unit, false)
        .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL);
  }

  @Override
  Take<Block> take(Settings settings, StepBench bench, ToneBench audio) throws InstrumentException {
    return TwoTones.take(
        audio,
        settings.low,
        settings.high,
        settings.listen,
        LOW_SHARE,
        settings.power,
        ModulationDistortionProcedure::figures);
  }

  @Override
  Measurement said(Settings settings, ToneBench audio, Heard heard, Measurement measurement) {
    return TwoTones.said(audio, heard, settings.low, settings.high, settings.listen, measurement);
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
