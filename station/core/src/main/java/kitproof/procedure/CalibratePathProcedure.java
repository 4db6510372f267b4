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
import kitproof.signal.FrequencyResponse;
import kitproof.signal.Levels;
import kitproof.signal.ResponseFigures;
import kitproof.signal.SweepAnalysis;
import kitproof.uncertainty.Budget;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/**
 * Level and phase of the whole path, output on input, against frequency, in each input range, and
 * its delay: from sweeps through the loop, and below 20 Hz from tones that last longer than a sweep
 * is there. Levels are relative to that at the tone of the full scales, phases are without the
 * delay.
 */
final class CalibratePathProcedure implements Procedure<CalibratePathProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the input ranges' routes; none on a bench without") @Initially("[]")
          List<String> ranges,
      @Meaning("from where to where, as far as the interface goes")
          @In(Unit.HERTZ)
          @Initially("1 Hz..90 kHz")
          @Bounds(low = 0.5)
          QuantityRange band,
      @Meaning("the tone of the full scales, where the level is 0 dB by definition")
          @In(Unit.HERTZ)
          @Initially("997 Hz")
          @Bounds(low = 20)
          Quantity frequency,
      @Meaning("the sweep's level relative to the output's full scale")
          @In(Unit.DECIBEL)
          @Initially("-3 dB")
          @Bounds(low = -40, high = -0.5)
          Quantity level,
      @Meaning("how long one sweep takes") @Initially("6 s") @Bounds(low = 0.5) Duration duration,
      @Meaning("how often each range is swept") @Initially("4") @Bounds(low = 3, high = 20)
          int repeats) {
    Settings {
      SweptBand.requireInside(band, frequency);
    }
  }

  private static final int POINTS_PER_OCTAVE = 6;

  /** Below it a sweep is too short. */
  private static final double SWEPT_FROM = 20;

  private static final double BEGINS_LOWER = 3;
  private static final double STEP = 1.13;

  @Override
  public String id() {
    return "calibrate-path";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    List<Outline.Promise> promises = new ArrayList<>();
    for (String range : LineCalibration.ranges(settings.ranges)) {
      Conditions in = LineCalibration.in(range);
      promises.add(
          Outline.Promise.ofChannel("path level", in, Unit.DECIBEL, true).against(Unit.HERTZ));
      promises.add(
          Outline.Promise.ofChannel("path phase", in, Unit.DEGREE, true).against(Unit.HERTZ));
    }
    promises.add(Outline.Promise.ofChannel("path delay", Conditions.NONE, Unit.SECOND, false));
    return new Outline(
        promises,
        List.of(new Outline.Need(settings.audio, InstrumentKind.AUDIO_INTERFACE, "")),
        false,
        Outline.MainsUse.COLD,
        settings
            .duration
            .plusMillis(500)
            .plusSeconds(settings.band.low().in(Unit.HERTZ) < SWEPT_FROM ? 12 : 0)
            .multipliedBy((long) settings.repeats * Math.max(1, settings.ranges.size())));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    LineCalibration line = LineCalibration.of(bench, settings.audio);
    double rate = line.audio().sampleRateHz();
    double peak =
        line.channel().highestDrivePeakVolts() * Levels.ratio(settings.level.in(Unit.DECIBEL));
    List<ReadySweep> sweeps = new ArrayList<>();
    for (int i = 0; i < settings.repeats; i++) {
      sweeps.add(ReadySweep.of(SweptBand.sweep(played(settings.band, i), settings.duration, rate)));
    }
    double low = settings.band.low().in(Unit.HERTZ);
    LowTones tones =
        low < SWEPT_FROM
            ? new LowTones(
                ResponseFigures.logSpaced(low, SWEPT_FROM * 0.9, POINTS_PER_OCTAVE), rate, peak)
            : null;
    double[] hertz =
        ResponseFigures.logSpaced(
            Math.max(SWEPT_FROM, low),
            Math.min(settings.band.high().in(Unit.HERTZ), sweeps.get(0).sweep().endHz()),
            POINTS_PER_OCTAVE);
    List<InRange> ranges = new ArrayList<>();
    List<Double> delays = LineCalibration.values();
    for (String range : LineCalibration.ranges(settings.ranges)) {
      line.select(range);
      List<FrequencyResponse> found = new ArrayList<>();
      for (ReadySweep ready : sweeps) {
        Capture capture = line.exchange(settings.audio, ready.samples(peak));
        double[] volts = line.audio().input(capture, line.channel());
        found.add(SweepAnalysis.response(ready.sweep(), peak, volts).linear());
      }
      List<List<LowTones.Found>> below = new ArrayList<>();
      for (int i = 0; tones != null && i < settings.repeats; i++) {
        Capture capture = line.exchange(settings.audio, tones.samples());
        below.add(tones.of(line.audio().input(capture, line.channel())));
      }
      for (FrequencyResponse each : found) {
        delays.add(delay(each, settings.frequency.in(Unit.HERTZ)));
      }
      double yet = LineCalibration.mean(delays);
      PathPoints swept = PathPoints.of(found, hertz, yet, settings.frequency.in(Unit.HERTZ));
      ranges.add(new InRange(range, PathPoints.of(tones, below, swept, yet), yet));
    }
    double delay = LineCalibration.mean(delays);
    List<Measurement> results = new ArrayList<>();
    for (InRange each : ranges) {
      results.addAll(
          curves(
              each.points.without(delay - each.delay),
              bench.conditions().and(LineCalibration.in(each.range))));
    }
    results.add(
        Measurement.of("path delay", bench.conditions(), Quantity.of(delay, Unit.SECOND))
            .with(
                Budget.of(
                        Contribution.observed(
                            "repeats",
                            LineCalibration.deviation(delays),
                            delays.size(),
                            Unit.SECOND))
                    .uncertainty()));
    return results;
  }

  /** What was found in a range with the delay that was known by then; the sweeps are large. */
  private record InRange(String range, PathPoints points, double delay) {}

  /**
   * The sweep begins lower than what is taken from it, each one at another frequency: the ripple
   * that its beginning leaves lies elsewhere in each, so that it counts as spread between them.
   */
  private static QuantityRange played(QuantityRange band, int repeat) {
    double low =
        Math.max(SWEPT_FROM, band.low().in(Unit.HERTZ)) / BEGINS_LOWER / Math.pow(STEP, repeat);
    return new QuantityRange(Quantity.of(low, Unit.HERTZ), band.high());
  }

  /** From the slope of the phase an octave around the tone; what bends elsewhere stays phase. */
  private static double delay(FrequencyResponse response, double hertz) {
    double[] at = {hertz / Math.sqrt(2), hertz * Math.sqrt(2)};
    Curve phase = response.phase(at);
    return (phase.y(0) - phase.y(1)) / (360 * (at[1] - at[0]));
  }

  private static List<Measurement> curves(PathPoints of, Conditions conditions) {
    return List.of(
        Measurement.of(
                "path level",
                conditions,
                Curve.of(Unit.HERTZ, of.hertz(), Unit.DECIBEL, of.level()))
            .with(of.levelKnown()),
        Measurement.of(
                "path phase", conditions, Curve.of(Unit.HERTZ, of.hertz(), Unit.DEGREE, of.phase()))
            .with(of.phaseKnown()));
  }
}
