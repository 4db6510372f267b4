package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.signal.Band;
import kitproof.signal.Levels;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.ToneFigures;
import kitproof.uncertainty.Budget;
import kitproof.uncertainty.NearResidual;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Distortion and noise that the interface adds by itself, output on input, against level and
 * frequency, in each input range.
 */
final class CalibrateResidualProcedure implements Procedure<CalibrateResidualProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the input ranges' routes; none on a bench without") @Initially("[]")
          List<String> ranges,
      @Meaning("the tones") @In(Unit.HERTZ) @Initially("[100 Hz, 1 kHz, 6 kHz]")
          List<Quantity> frequencies,
      @Meaning("their levels relative to the output's full scale")
          @In(Unit.DECIBEL)
          @Initially("[-1 dB, -10 dB, -20 dB, -40 dB]")
          List<Quantity> levels,
      @Meaning("how often each is played") @Initially("3") @Bounds(low = 3, high = 50)
          int repeats) {
    Settings {
      if (levels.stream().anyMatch(level -> level.value() > 0 || level.value() < -80)) {
        throw new IllegalArgumentException("levels from -80 dB to 0 dB");
      }
    }
  }

  private static final Band BAND = new Band(20, 20_000);
  private static final int HIGHEST_HARMONIC = 10;

  /** No converter is nearer to nothing. */
  private static final double LEAST = 1e-10;

  @Override
  public String id() {
    return "calibrate-residual";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    List<Outline.Promise> promises = new ArrayList<>();
    for (String range : LineCalibration.ranges(settings.ranges)) {
      for (Quantity hertz : settings.frequencies) {
        for (Quantity level : settings.levels) {
          for (String name :
              List.of(
                  "residual level", "residual distortion", "residual noise", "residual thd+n")) {
            promises.add(
                Outline.Promise.ofChannel(name, at(range, hertz, level), Unit.DECIBEL, false));
          }
        }
      }
    }
    return new Outline(
        promises,
        List.of(new Outline.Need(settings.audio, InstrumentKind.AUDIO_INTERFACE, "")),
        false,
        Outline.MainsUse.COLD,
        Duration.ofMillis(400L * settings.repeats * promises.size()));
  }

  private static Conditions at(String range, Quantity hertz, Quantity level) {
    return LineCalibration.in(range)
        .with("frequency", hertz.display())
        .with("output", level.display());
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    LineCalibration line = LineCalibration.of(bench, settings.audio);
    List<Measurement> results = new ArrayList<>();
    for (String range : LineCalibration.ranges(settings.ranges)) {
      line.select(range);
      for (Quantity hertz : settings.frequencies) {
        for (Quantity level : settings.levels) {
          Conditions conditions = bench.conditions().and(at(range, hertz, level));
          results.addAll(point(settings, line, hertz, level, conditions));
        }
      }
    }
    return results;
  }

  private static List<Measurement> point(
      Settings settings, LineCalibration line, Quantity hertz, Quantity level, Conditions at)
      throws InstrumentException {
    double peak = line.channel().highestDrivePeakVolts() * Levels.ratio(level.in(Unit.DECIBEL));
    LineCalibration.Tone tone = line.tone(hertz.in(Unit.HERTZ), peak);
    double fullScale = line.channel().highestInputPeakVolts() / Math.sqrt(2);
    List<Double> levels = LineCalibration.values();
    List<Double> distortions = LineCalibration.values();
    List<Double> noises = LineCalibration.values();
    List<Double> both = LineCalibration.values();
    List<Double> inLines = LineCalibration.values();
    for (int i = 0; i < settings.repeats; i++) {
      Capture capture = line.exchange(settings.audio, tone.samples());
      ToneFigures figures =
          ToneAnalysis.coherent(
              tone.of(line.audio().input(capture, line.channel())),
              line.audio().sampleRateHz(),
              tone.tone().cycles(),
              BAND,
              HIGHEST_HARMONIC);
      levels.add(figures.levelVolts() / fullScale);
      distortions.add(figures.thd());
      noises.add(figures.noiseVolts() / fullScale);
      both.add(figures.thdPlusNoise());
      inLines.add(noiseInLines(figures));
    }
    return List.of(
        result("residual level", at, levels, 0),
        result("residual distortion", at, distortions, LineCalibration.mean(inLines)),
        result("residual noise", at, noises, 0),
        result("residual thd+n", at, both, 0));
  }

  /**
   * What noise may add to the distortion: what of it lies in the lines of the harmonics, over the
   * tone. Of noise that is alike in the whole band a line holds one over bandwidth times time; the
   * power in a few lines scatters by one over the root of their number, which counts twice.
   */
  private static double noiseInLines(ToneFigures figures) {
    double lines = (BAND.highHz() - BAND.lowHz()) * figures.seconds();
    double harmonics = figures.harmonics().size();
    return figures.noiseVolts()
        / figures.levelVolts()
        * Math.sqrt((harmonics + 2 * Math.sqrt(harmonics)) / lines);
  }

  /**
   * The mean of ratios, in dB.
   *
   * @param noise what of it may be noise, as a ratio: the truth is below then
   */
  private static Measurement result(String name, Conditions at, List<Double> ratios, double noise) {
    double mean = Math.max(LEAST, LineCalibration.mean(ratios));
    double part = Math.min(1, LineCalibration.deviation(ratios) / mean);
    double perPart = 20 / Math.log(10);
    List<Contribution> lines = new ArrayList<>();
    lines.add(Contribution.observed("repeats", perPart * part, ratios.size(), Unit.DECIBEL));
    if (noise > 0) {
      lines.add(NearResidual.of(mean, noise, 0, Unit.ONE).get(0).times(perPart / mean));
    }
    return Measurement.of(name, at, Quantity.of(Levels.db(mean), Unit.DECIBEL))
        .with(Budget.of(lines).uncertainty());
  }
}
