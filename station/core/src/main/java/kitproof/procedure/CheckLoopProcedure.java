package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.calibration.Known;
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
import kitproof.uncertainty.AccuracyClass;
import kitproof.uncertainty.Budget;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Whether the interface, output on input, still is what it was at calibration: tones in each input
 * range, and a meter at the output if one is named. On a bench as calibrated what comes back is
 * what was played: 0 dB.
 */
final class CheckLoopProcedure implements Procedure<CheckLoopProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the input ranges' routes; none on a bench without") @Initially("[]")
          List<String> ranges,
      @Meaning("the tones") @In(Unit.HERTZ) @Initially("[20 Hz, 997 Hz, 20 kHz]")
          List<Quantity> frequencies,
      @Meaning("their level relative to the output's full scale")
          @In(Unit.DECIBEL)
          @Initially("-3 dB")
          @Bounds(low = -40, high = -0.5)
          Quantity level,
      @Meaning("the role of a meter at the output; none if left out") @Nullable String meter,
      @Meaning("the meter's function: AC volts, rms") @Initially("''") String function,
      @Meaning("the meter's limits of error, such as \"±(0.05 % + 3 digits)\"")
          @Nullable String limits,
      @Meaning("what one count of the meter's last digit is")
          @In(Unit.VOLT)
          @Initially("0 V")
          @Bounds(low = 0)
          Quantity resolution,
      @Meaning("where the meter reads") @In(Unit.HERTZ) @Initially("997 Hz") @Bounds(low = 20)
          Quantity meterAt,
      @Meaning("by how much the interface may have drifted since, at most")
          @In(Unit.DECIBEL)
          @Initially("0.03 dB")
          @Bounds(low = 0)
          Quantity drift,
      @Meaning("whether to stop the run where the station is out of its limits") @Initially("false")
          boolean stops,
      @Meaning("how often each tone is played") @Initially("3") @Bounds(low = 3, high = 50)
          int repeats) {
    Settings {
      String stated = limits;
      if (meter != null && (function.isEmpty() || stated == null || resolution.value() <= 0)) {
        throw new IllegalArgumentException("function, limits and resolution of the meter");
      }
      if (stated != null) {
        AccuracyClass accuracy = AccuracyClass.parse(stated);
        if (accuracy.needsRange() || !accuracy.notIn(Unit.VOLT).isEmpty()) {
          throw new IllegalArgumentException("limits in volts, parts of the reading or digits");
        }
      }
    }
  }

  private static final Band BAND = new Band(10, 20_000);
  private static final int HIGHEST_HARMONIC = 5;
  private static final double DB_PER_PART = 20 / Math.log(10);
  private static final String UNKNOWN =
      "the bench is not calibrated here, so nothing to compare with";

  private static final String LOOP = "loop level";
  private static final String LINE = "line level";

  @Override
  public String id() {
    return "check-loop";
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
        Conditions at = at(range, hertz);
        promises.add(promise(LOOP, at, Unit.DECIBEL));
        promises.add(promise(LOOP + NormalisedError.SUFFIX, at, Unit.ONE));
        promises.add(promise("loop thd+n", at, Unit.DECIBEL));
        promises.add(promise("loop noise", at, Unit.DECIBEL));
      }
    }
    List<Outline.Need> needs = new ArrayList<>();
    needs.add(new Outline.Need(settings.audio, InstrumentKind.AUDIO_INTERFACE, ""));
    if (settings.meter != null) {
      Conditions at = at("", settings.meterAt);
      promises.add(promise(LINE, at, Unit.DECIBEL));
      promises.add(promise(LINE + NormalisedError.SUFFIX, at, Unit.ONE));
      needs.add(new Outline.Need(settings.meter, InstrumentKind.METER, settings.function));
    }
    long tones =
        (long) Math.max(1, settings.ranges.size()) * settings.frequencies.size()
            + (settings.meter == null ? 0 : 1);
    return new Outline(
        promises,
        needs,
        false,
        Outline.MainsUse.COLD,
        Duration.ofMillis(1600 * settings.repeats * tones));
  }

  private static Outline.Promise promise(String name, Conditions more, Unit unit) {
    return Outline.Promise.ofChannel(name, more, unit, false);
  }

  private static Conditions at(String range, Quantity hertz) {
    return LineCalibration.in(range).with("frequency", hertz.display());
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    LineCalibration line = LineCalibration.of(bench, settings.audio);
    double peak =
        line.channel().highestDrivePeakVolts() * Levels.ratio(settings.level.in(Unit.DECIBEL));
    List<Measurement> results = new ArrayList<>();
    for (String range : LineCalibration.ranges(settings.ranges)) {
      line.select(range);
      double scale = scale(bench, range);
      for (Quantity hertz : settings.frequencies) {
        results.addAll(loop(settings, bench, line, range, scale, hertz, peak));
      }
    }
    if (settings.meter != null && settings.limits != null) {
      results.addAll(line(settings, bench, line, settings.meter, settings.limits, peak));
    }
    return StationCheck.checked(results, settings.stops, bench);
  }

  /** What captured volts are multiplied by in a range. */
  private static double scale(StepBench bench, String range) {
    List<StepBench.InputRange> all = bench.inputRanges();
    for (StepBench.InputRange each : all) {
      if (each.name().equals(range)) {
        return each.fullScale().value() / all.get(0).fullScale().value();
      }
    }
    return 1;
  }

  private static List<Measurement> loop(
      Settings settings,
      StepBench bench,
      LineCalibration line,
      String range,
      double scale,
      Quantity hertz,
      double peak)
      throws InstrumentException {
    LineCalibration.Tone tone = line.tone(hertz.in(Unit.HERTZ), peak);
    List<Double> levels = LineCalibration.values();
    List<Double> residuals = LineCalibration.values();
    List<Double> noises = LineCalibration.values();
    double fullScale = line.channel().highestInputPeakVolts() / Math.sqrt(2);
    for (int i = 0; i < settings.repeats; i++) {
      Capture capture = line.exchange(settings.audio, tone.samples());
      ToneFigures figures =
          ToneAnalysis.coherent(
              tone.of(line.audio().input(capture, line.channel())),
              line.audio().sampleRateHz(),
              tone.tone().cycles(),
              BAND,
              HIGHEST_HARMONIC);
      levels.add(Levels.db(scale * figures.levelVolts() / (peak / Math.sqrt(2))));
      residuals.add(Levels.db(figures.thdPlusNoise()));
      noises.add(Levels.db(figures.noiseVolts() / fullScale));
    }
    Conditions at = bench.conditions().and(at(range, hertz));
    List<Contribution> now = new ArrayList<>();
    now.add(repeats(levels));
    now.add(drift(settings));
    List<Measurement> results = new ArrayList<>();
    results.addAll(
        compared(
            LOOP,
            at,
            LineCalibration.mean(levels),
            now,
            ofLoop(settings, bench, line, range, hertz)));
    results.add(single("loop thd+n", at, residuals));
    results.add(single("loop noise", at, noises));
    return results;
  }

  private static Contribution repeats(List<Double> levels) {
    return Contribution.observed(
        "repeats", LineCalibration.deviation(levels), levels.size(), Unit.DECIBEL);
  }

  private static Contribution drift(Settings settings) {
    return Contribution.within(
        "drift since calibration",
        Distribution.RECTANGULAR,
        settings.drift.in(Unit.DECIBEL),
        Unit.DECIBEL);
  }

  private static Measurement single(String name, Conditions at, List<Double> found) {
    return Measurement.of(name, at, Quantity.of(LineCalibration.mean(found), Unit.DECIBEL))
        .with(Budget.of(repeats(found)).uncertainty());
  }

  /** What the calibration brings to the level of the loop; empty if it does not know it. */
  private static List<Contribution> ofLoop(
      Settings settings, StepBench bench, LineCalibration line, String range, Quantity hertz) {
    Optional<Calibration> calibration = bench.calibration();
    String channel = line.channel().name();
    String in = range.isEmpty() ? null : range;
    Optional<Known> output = calibration.flatMap(c -> c.output(settings.audio, channel));
    Optional<Known> input = calibration.flatMap(c -> c.input(settings.audio, channel, in));
    if (output.isEmpty() || input.isEmpty()) {
      return List.of();
    }
    List<Contribution> lines = new ArrayList<>();
    lines.add(inDecibels("full scale of the output", output.get()));
    lines.add(inDecibels("full scale of the input", input.get()));
    calibration
        .flatMap(c -> c.path(settings.audio, channel, in))
        .ifPresent(
            path ->
                lines.add(
                    Contribution.known(
                        "path",
                        Distribution.NORMAL,
                        path.standard(hertz.in(Unit.HERTZ)),
                        Unit.DECIBEL)));
    return lines;
  }

  private static Contribution inDecibels(String name, Known known) {
    return known.contribution(name).times(DB_PER_PART / known.value().value());
  }

  /** A level that should be 0 dB, and by how much it is not. */
  private static List<Measurement> compared(
      String name,
      Conditions at,
      double level,
      List<Contribution> now,
      List<Contribution> calibrated) {
    List<Contribution> all = new ArrayList<>(now);
    all.addAll(calibrated);
    Measurement found =
        Measurement.of(name, at, Quantity.of(level, Unit.DECIBEL))
            .with(Budget.of(all).uncertainty());
    return List.of(
        found,
        calibrated.isEmpty()
            ? NormalisedError.missing(name, at, UNKNOWN)
            : NormalisedError.result(
                name,
                at,
                NormalisedError.of(
                    level, Budget.of(now).standard(), 0, Budget.of(calibrated).standard())));
  }

  private static List<Measurement> line(
      Settings settings,
      StepBench bench,
      LineCalibration line,
      String meter,
      String limits,
      double peak)
      throws InstrumentException, InterruptedException {
    MeteredTone tone = new MeteredTone(line, settings.audio, settings.meterAt.in(Unit.HERTZ), peak);
    double asked = peak / Math.sqrt(2);
    List<Double> levels = LineCalibration.values();
    for (int i = 0; i < settings.repeats; i++) {
      levels.add(Levels.db(tone.read(bench, meter, settings.function).volts() / asked));
    }
    List<Contribution> now = new ArrayList<>();
    now.add(repeats(levels));
    now.add(drift(settings));
    double perVolt = DB_PER_PART / asked;
    now.add(
        AccuracyClass.parse(limits)
            .contribution(
                "limits of error of " + meter, asked, 0, settings.resolution.value(), Unit.VOLT)
            .times(perVolt));
    MeterTrust.correction(bench.papers(meter), meter, settings.function, Unit.VOLT)
        .forEach(left -> now.add(left.times(perVolt)));
    Optional<Known> output =
        bench.calibration().flatMap(c -> c.output(settings.audio, line.channel().name()));
    List<Contribution> calibrated =
        output
            .map(known -> List.of(inDecibels("full scale of the output", known)))
            .orElse(List.of());
    return compared(
        LINE,
        bench.conditions().and(at("", settings.meterAt)),
        LineCalibration.mean(levels),
        now,
        calibrated);
  }
}
