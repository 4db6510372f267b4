package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.AudioPort;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.signal.Levels;
import kitproof.signal.SineFit;
import kitproof.uncertainty.Budget;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * What of a driven channel comes in at another one by the interface and its leads, in the loop: at
 * single tones, by their amplitude and phase, so that noise averages out of the repeats.
 */
final class CalibrateLeakageProcedure implements Procedure<CalibrateLeakageProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the channel that is silent and listened to") String to,
      @Meaning("the input range's route; none on a bench without") @Nullable String range,
      @Meaning("the tones") @In(Unit.HERTZ) @Initially("[100 Hz, 1 kHz, 10 kHz, 20 kHz]")
          List<Quantity> frequencies,
      @Meaning("their level relative to the output's full scale")
          @In(Unit.DECIBEL)
          @Initially("-3 dB")
          @Bounds(low = -40, high = -0.5)
          Quantity level,
      @Meaning(
              "by how much the full scales of two inputs may differ, where this run has not found"
                  + " them before")
          @In(Unit.PERCENT)
          @Initially("3 %")
          @Bounds(low = 0)
          Quantity unlike,
      @Meaning("how often each tone is played") @Initially("4") @Bounds(low = 3, high = 50)
          int repeats) {}

  @Override
  public String id() {
    return "calibrate-leakage";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    return new Outline(
        settings.frequencies.stream()
            .map(
                hertz ->
                    Outline.Promise.ofChannel("leakage", at(settings, hertz), Unit.DECIBEL, false))
            .toList(),
        List.of(new Outline.Need(settings.audio, InstrumentKind.AUDIO_INTERFACE, "")),
        false,
        Outline.MainsUse.COLD,
        Duration.ofMillis(1600L * settings.repeats * settings.frequencies.size()));
  }

  private static Conditions at(Settings settings, Quantity hertz) {
    return Conditions.of("to", settings.to).with("frequency", hertz.display());
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    LineCalibration line = LineCalibration.of(bench, settings.audio);
    String range = settings.range == null ? "" : settings.range;
    line.select(range);
    int listening = input(bench, settings);
    if (listening == line.channel().input()) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE, "a leakage of a channel into itself");
    }
    double peak =
        line.channel().highestDrivePeakVolts() * Levels.ratio(settings.level.in(Unit.DECIBEL));
    Optional<Alike> alike = alike(bench, line.channel().name(), settings.to, range);
    List<Measurement> results = new ArrayList<>();
    for (Quantity hertz : settings.frequencies) {
      LineCalibration.Tone tone = line.tone(hertz.in(Unit.HERTZ), peak);
      List<Double> inPhase = LineCalibration.values();
      List<Double> across = LineCalibration.values();
      for (int i = 0; i < settings.repeats; i++) {
        Capture capture = line.exchange(settings.audio, tone.samples());
        SineFit driven = fit(tone, capture.signal().channel(line.channel().input()));
        SineFit heard = fit(tone, capture.signal().channel(listening));
        double ratio = heard.peakVolts() / driven.peakVolts();
        double turn = heard.phaseRadians() - driven.phaseRadians();
        inPhase.add(ratio * Math.cos(turn));
        across.add(ratio * Math.sin(turn));
      }
      results.add(
          result(bench.conditions().and(at(settings, hertz)), inPhase, across, alike, settings));
    }
    return results;
  }

  private static SineFit fit(LineCalibration.Tone tone, double[] captured) {
    return SineFit.threeParameter(
        tone.of(captured), tone.tone().sampleRateHz(), tone.tone().frequencyHz());
  }

  private static int input(StepBench bench, Settings settings) throws InstrumentException {
    List<AudioPort> inputs = bench.audio(settings.audio).ports().inputs();
    for (int i = 0; i < inputs.size(); i++) {
      if (inputs.get(i).name().equals(settings.to)) {
        return i;
      }
    }
    throw new InstrumentException(
        InstrumentException.Kind.RANGE, "the interface has no input \"" + settings.to + "\"");
  }

  /**
   * Full scale of the listening input over that of the driven one, as this run has found them.
   *
   * @param relative its standard uncertainty as a part of it, as if both were found apart
   */
  private record Alike(double ratio, double relative) {}

  private static Optional<Alike> alike(StepBench bench, String from, String to, String range) {
    Optional<Alike> ofTo = fullScale(bench, to, range);
    return fullScale(bench, from, range)
        .flatMap(
            f -> ofTo.map(t -> new Alike(t.ratio / f.ratio, Math.hypot(t.relative, f.relative))));
  }

  /** Of one input: its volts, for a ratio. */
  private static Optional<Alike> fullScale(StepBench bench, String channel, String range) {
    Conditions wanted = Conditions.of("channel", channel).and(LineCalibration.in(range));
    return bench.earlier().stream()
        .filter(m -> m.name().equals("input full scale") && m.conditions().satisfy(wanted))
        .flatMap(CalibrateLeakageProcedure::known)
        .reduce((first, second) -> second);
  }

  private static Stream<Alike> known(Measurement found) {
    Uncertainty u = found.uncertainty();
    if (!(found.figure() instanceof Figure.OfQuantity of)) {
      return Stream.empty();
    }
    double volts = of.quantity().in(Unit.VOLT);
    return Stream.of(new Alike(volts, u == null ? 0 : u.above(0) / volts));
  }

  private static Measurement result(
      Conditions conditions,
      List<Double> inPhase,
      List<Double> across,
      Optional<Alike> alike,
      Settings settings) {
    double ratio = Math.hypot(LineCalibration.mean(inPhase), LineCalibration.mean(across));
    double spread =
        Math.hypot(LineCalibration.deviation(inPhase), LineCalibration.deviation(across))
            / Math.sqrt(2);
    double least = 1e-12;
    double decibels = Levels.db(Math.max(least, ratio * alike.map(Alike::ratio).orElse(1.0)));
    double perPart = 20 / Math.log(10);
    List<Contribution> lines = new ArrayList<>();
    lines.add(
        Contribution.observed(
            "repeats",
            perPart * Math.min(1, spread / Math.max(least, ratio)),
            inPhase.size(),
            Unit.DECIBEL));
    String scales = "full scales of the two inputs";
    lines.add(
        alike.isPresent()
            ? Contribution.known(
                scales, Distribution.NORMAL, perPart * alike.get().relative, Unit.DECIBEL)
            : Contribution.within(
                scales,
                Distribution.RECTANGULAR,
                perPart * settings.unlike.in(Unit.PERCENT) / 100,
                Unit.DECIBEL));
    return Measurement.of("leakage", conditions, Quantity.of(decibels, Unit.DECIBEL))
        .with(Budget.of(lines).uncertainty());
  }
}
