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
 * Difference-frequency distortion of two equal tones (IEC 60268-3), 19 and 20 kHz unless the plan
 * says otherwise: the second-order product at f2 - f1 and the third-order pair at 2f1 - f2 and 2f2
 * - f1, which is 1 kHz, 18 kHz and 21 kHz.
 *
 * <p>The distortions are relative to the sum of both tones, as the standard has it; each product is
 * also told in dB relative to one tone, the higher.
 */
final class DifferenceFrequencyDistortionProcedure
    extends HeardProcedure<DifferenceFrequencyDistortionProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power of the sine with the same peak") @In(Unit.WATT) @Bounds(low = 1e-6)
          Quantity power,
      @Meaning("the lower tone, f1") @In(Unit.HERTZ) @Initially("19 kHz") @Bounds(low = 10)
          Quantity low,
      @Meaning("the higher tone, f2") @In(Unit.HERTZ) @Initially("20 kHz") @Bounds(low = 10)
          Quantity high,
      @Meaning("how long to listen") @Initially("300 ms") @Bounds(low = 0.05) Duration listen) {
    Settings {
      if (!(high.in(Unit.HERTZ) > low.in(Unit.HERTZ)
          && high.in(Unit.HERTZ) < 2 * low.in(Unit.HERTZ))) {
        throw new IllegalArgumentException(
            "two tones, the higher less than an octave above the lower");
      }
    }
  }

  /** The lower tone's share of the peak. */
  private static final double LOW_SHARE = 0.5;

  DifferenceFrequencyDistortionProcedure() {
    super("difference-frequency-distortion", Settings.class);
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
        promise("difference-frequency distortion 2", more, Unit.PERCENT),
        promise("difference-frequency distortion 3", more, Unit.PERCENT),
        promise("product f2-f1", more, Unit.DECIBEL),
        promise("product 2f1-f2", more, Unit.DECIBEL),
        promise("product 2f2-f1", more, Unit.DECIBEL));
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
        DifferenceFrequencyDistortionProcedure::figures);
  }

  @Override
  Measurement said(Settings settings, ToneBench audio, Heard heard, Measurement measurement) {
    return TwoTones.said(audio, heard, settings.low, settings.high, settings.listen, measurement);
  }

  static List<Figure> figures(IntermodulationFigures found) {
    return List.of(
        Promised.percent(found.secondOrderDifference()),
        percent(found.thirdOrderDifference()),
        product(found, -1, 1),
        product(found, 2, -1),
        product(found, -1, 2));
  }

  private static Figure percent(OptionalDouble ratio) {
    return ratio.isPresent()
        ? Promised.percent(ratio.getAsDouble())
        : new Figure.Invalid("a product lies above half the sample rate");
  }

  private static Figure product(IntermodulationFigures found, int low, int high) {
    OptionalDouble volts = found.productVolts(low, high);
    return volts.isPresent()
        ? Promised.figure(Promised.decibels(volts.getAsDouble() / found.highVolts()), Unit.DECIBEL)
        : new Figure.Invalid("it lies above half the sample rate");
  }
}
