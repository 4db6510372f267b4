package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.Supplier;
import kitproof.signal.Band;
import kitproof.signal.IntermodulationFigures;
import kitproof.signal.Levels;
import kitproof.signal.SquareWaveCapture;
import kitproof.signal.StrayLine;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.ToneFigures;
import kitproof.signal.TwoToneCapture;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/**
 * One channel of a saved capture, measured as the procedures measure a live one: results of the
 * same names in the same order, from the same figures. Its clock need not be that of the stimulus,
 * and nothing in it needs a whole number of periods.
 *
 * <p>The power a capture was made at is a result here, where a procedure has it as a condition.
 * Methods throw an {@link IllegalArgumentException} with the reason if nothing can be found.
 */
public final class SavedCapture {
  /** What a procedure's settings name and a saved capture does not have. */
  private static final String NO_ROLE = "";

  private static final Duration NO_TIME = Duration.ofSeconds(1);
  private static final Quantity NO_POWER = Quantity.of(1, Unit.WATT);

  private static final double MOST_HUM_SECONDS = 4;

  private final double[] volts;
  private final double rate;
  private final Conditions conditions;
  private final OptionalDouble loadOhms;

  /**
   * A channel.
   *
   * @param volts its samples
   * @param rate samples per second
   * @param conditions what all results hold under
   * @param loadOhms the load, for the power; empty if it is not known
   */
  public SavedCapture(double[] volts, double rate, Conditions conditions, OptionalDouble loadOhms) {
    this.volts = volts.clone();
    this.rate = rate;
    this.conditions = conditions;
    this.loadOhms = loadOhms;
  }

  /** As {@code hum} measures, from the first seconds: the mains keeps no step for longer. */
  public List<Measurement> hum(Quantity mains, int lines, Quantity highest) {
    requireBelowHalfTheRate(highest);
    requireSeconds(0.5);
    double[] part =
        Arrays.copyOf(volts, (int) Math.min(volts.length, Math.ceil(MOST_HUM_SECONDS * rate)));
    HumProcedure.Settings settings =
        new HumProcedure.Settings(NO_ROLE, mains, lines, highest, NO_TIME);
    return results(
        new HumProcedure().promises(settings), () -> HumProcedure.figures(part, rate, settings));
  }

  /**
   * As {@code noise} measures.
   *
   * @param ratedVolts the output at rated power, rms; empty for no signal-to-noise ratio
   * @param rated as the conditions name it
   */
  public List<Measurement> noise(QuantityRange band, OptionalDouble ratedVolts, Quantity rated) {
    requireBelowHalfTheRate(band.high());
    requireSeconds(1); // the quasi-peak meter's time to rise
    NoiseProcedure.Settings settings = new NoiseProcedure.Settings(NO_ROLE, rated, band, NO_TIME);
    return results(
            new NoiseProcedure().promises(settings),
            () -> NoiseProcedure.figures(volts, rate, settings, ratedVolts.orElse(1)))
        .stream()
        .filter(m -> ratedVolts.isPresent() || m.name().equals("noise"))
        .toList();
  }

  /**
   * As {@code spectrum} measures, the level of the tone before it.
   *
   * @param roughHz the tone within a tenth; 0 for the strongest line
   */
  public List<Measurement> spectrum(double roughHz, QuantityRange band, int periods) {
    requireBelowHalfTheRate(band.high());
    ToneFigures tone = tone(roughHz);
    SpectrumProcedure.Settings settings =
        new SpectrumProcedure.Settings(
            NO_ROLE, NO_POWER, hertz(tone.frequencyHz()), band, periods, NO_TIME);
    List<Measurement> found = new ArrayList<>(level(tone.levelVolts()));
    found.addAll(
        results(
            new SpectrumProcedure().promises(settings),
            () -> SpectrumProcedure.figures(volts, rate, tone.frequencyHz(), settings)));
    return found;
  }

  /**
   * As {@code stability} measures, the level of the tone before it.
   *
   * @param roughHz the tone within a tenth; 0 for the strongest line
   * @param from where to look from, up to half the sample rate
   */
  public List<Measurement> stability(double roughHz, Quantity from) {
    return stability(roughHz, from, List.of(), 0);
  }

  /**
   * The same, passing over single lines that the interface's inputs show by themselves.
   *
   * @param inputFullScale of the input, rms of a sine, in the unit of the samples
   */
  public List<Measurement> stability(
      double roughHz, Quantity from, List<StationSpur> spurs, double inputFullScale) {
    requireBelowHalfTheRate(from);
    ToneFigures tone = tone(roughHz);
    StabilityProcedure.Settings settings =
        new StabilityProcedure.Settings(
            NO_ROLE, NO_POWER, hertz(tone.frequencyHz()), from, "", NO_TIME);
    Band band = new Band(from.in(Unit.HERTZ), rate / 2);
    List<Measurement> found = new ArrayList<>(level(tone.levelVolts()));
    List<StrayLine.Known> known =
        spurs.stream().map(spur -> spur.at(0, inputFullScale, 0)).toList();
    double hz = tone.frequencyHz();
    for (Measurement one :
        results(
            new StabilityProcedure().promises(settings),
            () -> StabilityProcedure.figures(StrayLine.of(volts, rate, hz, band, known)))) {
      found.add(
          known.isEmpty() || one.figure() instanceof Figure.Invalid
              ? one
              : StabilityProcedure.passedOver(
                  StrayLine.of(volts, rate, hz, band),
                  StrayLine.of(volts, rate, hz, band, known),
                  one));
    }
    return found;
  }

  /**
   * As {@code square-wave} measures.
   *
   * @param roughHz the wave within a tenth; 0 for the strongest line
   * @param stimulusRise seconds that the stimulus itself takes from 10 to 90 %; 0 if the rise time
   *     of the capture is wanted as it is
   */
  public List<Measurement> squareWave(double roughHz, double stimulusRise) {
    SquareWaveCapture found = SquareWaveCapture.of(volts, rate, roughHz);
    SquareWaveProcedure.Settings settings =
        new SquareWaveProcedure.Settings(
            NO_ROLE, NO_POWER, hertz(found.wave().frequencyHz()), NO_TIME);
    return results(
        new SquareWaveProcedure().promises(settings),
        () -> SquareWaveProcedure.figures(found.volts(), found.wave(), stimulusRise));
  }

  /** As {@code difference-frequency-distortion} measures, the level before it. */
  public List<Measurement> differenceFrequencyDistortion(Quantity low, Quantity high) {
    DifferenceFrequencyDistortionProcedure.Settings settings =
        new DifferenceFrequencyDistortionProcedure.Settings(NO_ROLE, NO_POWER, low, high, NO_TIME);
    IntermodulationFigures tones = tones(low, high);
    List<Measurement> found = new ArrayList<>(level(tones.equivalentSineVolts()));
    found.addAll(
        results(
            new DifferenceFrequencyDistortionProcedure().promises(settings),
            () -> DifferenceFrequencyDistortionProcedure.figures(tones)));
    return found;
  }

  /** As {@code modulation-distortion} measures, the level before it. */
  public List<Measurement> modulationDistortion(Quantity low, Quantity high) {
    ModulationDistortionProcedure.Settings settings =
        new ModulationDistortionProcedure.Settings(NO_ROLE, NO_POWER, low, high, NO_TIME);
    IntermodulationFigures tones = tones(low, high);
    List<Measurement> found = new ArrayList<>(level(tones.equivalentSineVolts()));
    found.addAll(
        results(
            new ModulationDistortionProcedure().promises(settings),
            () -> ModulationDistortionProcedure.figures(tones)));
    return found;
  }

  private IntermodulationFigures tones(Quantity low, Quantity high) {
    requireBelowHalfTheRate(high);
    return TwoToneCapture.analyse(volts, rate, low.in(Unit.HERTZ), high.in(Unit.HERTZ));
  }

  private ToneFigures tone(double roughHz) {
    Band all = new Band(0, rate / 2);
    return roughHz > 0
        ? ToneAnalysis.fitted(volts, rate, roughHz, all, 10)
        : ToneAnalysis.fitted(volts, rate, all, 10);
  }

  /** The tone's level, or that of the sine with the same peak as both tones, and its power. */
  private List<Measurement> level(double rms) {
    List<Measurement> found = new ArrayList<>();
    found.add(Measurement.of("level", conditions, Quantity.of(rms, Unit.VOLT)));
    loadOhms.ifPresent(
        ohms ->
            found.add(
                Measurement.of(
                    "power", conditions, Quantity.of(Levels.watts(rms, ohms), Unit.WATT))));
    return found;
  }

  private static Quantity hertz(double hz) {
    return Quantity.of(hz, Unit.HERTZ);
  }

  private void requireSeconds(double least) {
    if (volts.length < least * rate) {
      throw new IllegalArgumentException(
          Quantity.of(volts.length / rate, Unit.SECOND).display()
              + " of capture, at least "
              + Quantity.of(least, Unit.SECOND).display()
              + " are needed");
    }
  }

  private void requireBelowHalfTheRate(Quantity hz) {
    if (hz.in(Unit.HERTZ) > rate / 2) {
      throw new IllegalArgumentException(
          hz.display() + " is beyond half of the capture's sample rate");
    }
  }

  private List<Measurement> results(
      List<Outline.Promise> promises, Supplier<List<Figure>> figures) {
    List<Figure> found = figures.get();
    List<Measurement> results = new ArrayList<>();
    for (int i = 0; i < promises.size(); i++) {
      Conditions more = conditions;
      for (var condition : promises.get(i).more().values().entrySet()) {
        if (!condition.getKey().equals("power") && !condition.getKey().equals("load")) {
          more = more.with(condition.getKey(), condition.getValue());
        }
      }
      results.add(new Measurement(promises.get(i).name(), more, found.get(i)));
    }
    return results;
  }
}
