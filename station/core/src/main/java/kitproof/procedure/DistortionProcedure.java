package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.signal.ToneFigures;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/**
 * Distortion at a stated output power: THD against the fundamental (IEC 60268-3), THD+N in a stated
 * band (AES17), and each harmonic relative to the fundamental. The drive is levelled first.
 */
final class DistortionProcedure implements Procedure<DistortionProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power to measure at") @In(Unit.WATT) @Bounds(low = 1e-6) Quantity power,
      @Meaning("the tone") @In(Unit.HERTZ) @Initially("1 kHz") @Bounds(low = 1) Quantity frequency,
      @Meaning("the measuring band of thd+n")
          @In(Unit.HERTZ)
          @Initially("20 Hz..20 kHz")
          @Bounds(low = 0)
          QuantityRange band,
      @Meaning("the highest harmonic") @Initially("10") @Bounds(low = 2, high = 50) int harmonics,
      @Meaning("how long to listen") @Initially("650 ms") @Bounds(low = 0.01) Duration listen) {
    Settings {
      if (band.low().equals(band.high())) {
        throw new IllegalArgumentException("a band that is wider than one frequency");
      }
    }
  }

  @Override
  public String id() {
    return "distortion";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    Conditions more = more(settings);
    List<Outline.Promise> promises = new ArrayList<>();
    promises.add(
        Outline.Promise.ofChannel("thd", more, Unit.PERCENT, false)
            .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
    promises.add(
        Outline.Promise.ofChannel("thd+n", withBand(settings), Unit.PERCENT, false)
            .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
    for (int order = 2; order <= settings.harmonics; order++) {
      promises.add(
          Outline.Promise.ofChannel("harmonic " + order, more, Unit.DECIBEL, false)
              .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
    }
    return Outline.ofDriving(promises, settings.audio, settings.listen.plusSeconds(3))
        .driving(settings.power, settings.listen);
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ToneBench audio = ToneBench.of(bench, settings.audio);
    double hertz = settings.frequency.in(Unit.HERTZ);
    List<Levelling.Level> levels = Levelling.toPower(audio, hertz, settings.power);
    CoherentTone tone = audio.tone(hertz, settings.listen.toNanos() / 1e9);
    Band band = new Band(settings.band.low().in(Unit.HERTZ), settings.band.high().in(Unit.HERTZ));
    boolean bandFits = settings.band.high().in(Unit.HERTZ) <= audio.sampleRateHz() / 2;
    List<ToneBench.Shot> shots = List.of();
    if (bandFits && levels.stream().anyMatch(Levelling.Level::found)) {
      double[] drives = levels.stream().mapToDouble(Levelling.Level::drivePeakVolts).toArray();
      shots = audio.play(tone, drives, band, settings.harmonics, Settle.AT_REST);
    }
    List<Measurement> measurements = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      Conditions own = audio.channels().get(c).conditions();
      Conditions conditions = own.and(more(settings));
      Conditions inBand = own.and(withBand(settings));
      String trouble =
          !levels.get(c).found()
              ? levels.get(c).trouble()
              : bandFits
                  ? shots.get(c).trouble()
                  : "the band reaches beyond half of the interface's sample rate";
      if (!trouble.isEmpty()) {
        measurements.addAll(
            ToneMeasurements.invalidDistortion(trouble, conditions, inBand, settings.harmonics));
        continue;
      }
      ToneFigures figures = shots.get(c).good().orElseThrow();
      ToneBench.Channel channel = audio.channels().get(c);
      double drive = levels.get(c).drivePeakVolts();
      Own station = Own.of(audio, channel, figures, drive, band);
      for (Measurement measurement :
          ToneMeasurements.distortion(figures, conditions, inBand, settings.harmonics)) {
        measurements.add(noted(measurement, figures, station));
      }
    }
    return measurements;
  }

  /** What the station adds by itself, and how well the figures are known. */
  private record Own(double thdPlusNoise, double thd, Optional<DistortionTrust> trust) {
    static Own of(
        ToneBench audio,
        ToneBench.Channel channel,
        ToneFigures figures,
        double drivePeakVolts,
        Band band) {
      double volts = figures.levelVolts();
      double hertz = figures.frequencyHz();
      double gain = volts * Math.sqrt(2) / drivePeakVolts;
      return new Own(
          audio.own().thdPlusNoise(channel, volts, hertz, gain, band),
          audio.own().thd(channel, volts, hertz),
          DistortionTrust.of(audio, channel, figures, drivePeakVolts, band));
    }
  }

  private static Measurement noted(Measurement measurement, ToneFigures figures, Own own) {
    if (!(measurement.figure() instanceof Figure.OfQuantity of)) {
      return measurement;
    }
    Measurement noted =
        switch (measurement.name()) {
          case "thd+n" -> OwnResidual.noted(measurement, figures.thdPlusNoise(), own.thdPlusNoise);
          case "thd" -> OwnResidual.noted(measurement, figures.thd(), own.thd);
          default ->
              OwnResidual.noted(measurement, Levels.ratio(of.quantity().in(Unit.DECIBEL)), own.thd);
        };
    return own.trust.map(trust -> trust.known(noted)).orElse(noted);
  }

  private static Conditions more(Settings settings) {
    return Conditions.of("power", settings.power.display())
        .with("frequency", settings.frequency.display());
  }

  private static Conditions withBand(Settings settings) {
    return more(settings)
        .with("band", settings.band.low().display() + ".." + settings.band.high().display());
  }
}
