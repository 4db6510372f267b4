package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
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
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Full scale of an output, and of an input in each range, against a meter at the output while a
 * tone plays through the loop; and the ratio of each range to the first.
 *
 * <p>The meter reads a whole number of times; its limits of error hold for all of these readings
 * alike, what scatters between them does not. Noise of the captures scatters too.
 */
final class CalibrateLevelsProcedure implements Procedure<CalibrateLevelsProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the role of the meter at the output") String meter,
      @Meaning("the meter's function: AC volts, rms") String function,
      @Meaning("the meter's limits of error, such as \"±(0.05 % + 3 digits)\"") String limits,
      @Meaning("what one count of the meter's last digit is") @In(Unit.VOLT) @Bounds(low = 1e-9)
          Quantity resolution,
      @Meaning("full scale of the meter's range, where its limits are a part of it") @In(Unit.VOLT)
          @Nullable Quantity meterRange,
      @Meaning("the input ranges' routes; none on a bench without") @Initially("[]")
          List<String> ranges,
      @Meaning("the tone, where the meter's limits hold")
          @In(Unit.HERTZ)
          @Initially("997 Hz")
          @Bounds(low = 20)
          Quantity frequency,
      @Meaning("its level relative to the output's full scale")
          @In(Unit.DECIBEL)
          @Initially("-3 dB")
          @Bounds(low = -40, high = -0.5)
          Quantity level,
      @Meaning("how often each range is measured") @Initially("5") @Bounds(low = 3, high = 50)
          int repeats) {
    Settings {
      AccuracyClass accuracy = AccuracyClass.parse(limits);
      if (!accuracy.notIn(Unit.VOLT).isEmpty()) {
        throw new IllegalArgumentException("limits in volts, parts or digits");
      }
      if (accuracy.needsRange() && meterRange == null) {
        throw new IllegalArgumentException("meter-range, of which the limits are a part");
      }
    }

    Contribution meterError(double volts) {
      return AccuracyClass.parse(limits)
          .contribution(
              "limits of error of " + meter,
              volts,
              meterRange == null ? 0 : meterRange.value(),
              resolution.value(),
              Unit.VOLT);
    }

    Contribution lastDigit() {
      return Contribution.within(
          "last digit of " + meter,
          Contribution.Distribution.RECTANGULAR,
          resolution.value() / 2,
          Unit.VOLT);
    }
  }

  @Override
  public String id() {
    return "calibrate-levels";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    List<Outline.Promise> promises = new ArrayList<>();
    promises.add(Outline.Promise.ofChannel("output full scale", Conditions.NONE, Unit.VOLT, false));
    for (String range : LineCalibration.ranges(settings.ranges)) {
      promises.add(
          Outline.Promise.ofChannel(
              "input full scale", LineCalibration.in(range), Unit.VOLT, false));
    }
    for (String range : attenuated(settings)) {
      promises.add(
          Outline.Promise.ofChannel(
              "input attenuation", LineCalibration.in(range), Unit.ONE, false));
    }
    return new Outline(
        promises,
        List.of(
            new Outline.Need(settings.audio, InstrumentKind.AUDIO_INTERFACE, ""),
            new Outline.Need(settings.meter, InstrumentKind.METER, settings.function)),
        false,
        Outline.MainsUse.COLD,
        Duration.ofSeconds(3L * settings.repeats * Math.max(1, settings.ranges.size())));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    LineCalibration line = LineCalibration.of(bench, settings.audio);
    double outputPeak = line.channel().highestDrivePeakVolts();
    double drivePeak = outputPeak * Levels.ratio(settings.level.in(Unit.DECIBEL));
    MeteredTone tone =
        new MeteredTone(line, settings.audio, settings.frequency.in(Unit.HERTZ), drivePeak);
    List<Double> outputs = LineCalibration.values();
    List<Measurement> inputs = new ArrayList<>();
    Map<String, List<Double>> shares = new LinkedHashMap<>();
    Map<String, Double> bends = new LinkedHashMap<>();
    double volts = 0;
    for (String range : LineCalibration.ranges(settings.ranges)) {
      line.select(range);
      List<Double> found = LineCalibration.values();
      for (int i = 0; i < settings.repeats; i++) {
        MeteredTone.Taken taken = tone.read(bench, settings.meter, settings.function);
        volts = taken.volts();
        outputs.add(volts / (drivePeak / Math.sqrt(2)) * outputPeak / Math.sqrt(2));
        ToneFigures figures = figures(taken.capture(), line, taken.tone());
        double shown = figures.levelVolts();
        bends.merge(range, third(figures), Math::max);
        shares.computeIfAbsent(range, r -> LineCalibration.values()).add(shown / drivePeak);
        found.add(volts / shown * line.channel().highestInputPeakVolts() / Math.sqrt(2));
      }
      inputs.add(
          result("input full scale", LineCalibration.in(range), found, volts, settings, bench));
    }
    List<Measurement> results = new ArrayList<>();
    results.add(result("output full scale", Conditions.NONE, outputs, volts, settings, bench));
    results.addAll(inputs);
    for (String range : attenuated(settings)) {
      results.add(
          attenuation(
              bench.conditions().and(LineCalibration.in(range)),
              Objects.requireNonNull(shares.get(settings.ranges.get(0))),
              Objects.requireNonNull(shares.get(range)),
              bends.values().stream().mapToDouble(b -> b).max().orElse(0)));
    }
    return results;
  }

  /** The ranges beside the first, which is the one at rest. */
  private static List<String> attenuated(Settings settings) {
    return settings.ranges.isEmpty()
        ? List.of()
        : settings.ranges.subList(1, settings.ranges.size());
  }

  /**
   * Full scale of a range over that of the first, from the same tone in both: the meter's error is
   * no part of it. The tone is higher at the converter in one of them: a bend that makes a third
   * harmonic changes the tone itself by three times as much.
   *
   * @param third harmonic over the tone, the most of any range
   */
  private static Measurement attenuation(
      Conditions conditions, List<Double> atRest, List<Double> inRange, double third) {
    double rest = LineCalibration.mean(atRest);
    double here = LineCalibration.mean(inRange);
    double ratio = rest / here;
    Budget budget =
        Budget.of(
            Contribution.observed(
                    "repeats at rest", LineCalibration.deviation(atRest), atRest.size(), Unit.ONE)
                .times(1 / here),
            Contribution.observed(
                    "repeats in the range",
                    LineCalibration.deviation(inRange),
                    inRange.size(),
                    Unit.ONE)
                .times(-ratio / here),
            Contribution.within(
                "linearity of the input",
                Contribution.Distribution.RECTANGULAR,
                3 * third * ratio,
                Unit.ONE));
    return Measurement.of("input attenuation", conditions, Quantity.of(ratio, Unit.ONE))
        .with(budget.uncertainty());
  }

  /** Third harmonic over the tone, as a ratio. */
  private static double third(ToneFigures figures) {
    return figures.harmonic(3).map(h -> h.volts() / figures.levelVolts()).orElse(0.0);
  }

  /** The tone as the interface shows it. */
  private static ToneFigures figures(
      Capture capture, LineCalibration line, LineCalibration.Tone tone) throws InstrumentException {
    if (capture.clipped()) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER, "the capture reached full scale: choose a lower level");
    }
    double[] block = tone.of(line.audio().input(capture, line.channel()));
    double rate = line.audio().sampleRateHz();
    return ToneAnalysis.coherent(block, rate, tone.tone().cycles(), new Band(20, 20_000), 3);
  }

  private static Measurement result(
      String name,
      Conditions more,
      List<Double> found,
      double volts,
      Settings settings,
      StepBench bench) {
    double value = LineCalibration.mean(found);
    double perVolt = value / volts;
    List<Contribution> lines = new ArrayList<>();
    lines.add(
        Contribution.observed(
            "repeats", LineCalibration.deviation(found), found.size(), Unit.VOLT));
    lines.add(settings.meterError(volts).times(perVolt));
    lines.add(settings.lastDigit().times(perVolt));
    MeterTrust.correction(
            bench.papers(settings.meter), settings.meter, settings.function, Unit.VOLT)
        .forEach(line -> lines.add(line.times(perVolt)));
    return Measurement.of(name, bench.conditions().and(more), Quantity.of(value, Unit.VOLT))
        .with(Budget.of(lines).uncertainty());
  }
}
