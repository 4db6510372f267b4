package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import java.util.function.DoubleFunction;
import java.util.function.Function;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.ResponseFigures;
import kitproof.signal.Sweep;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/**
 * How much more the first channel gives than the second with the same drive, against frequency (IEC
 * 60268-3): one sweep into both at once. Measured under {@code channel: both}.
 */
final class ChannelBalanceProcedure implements Procedure<ChannelBalanceProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power of the stronger channel at the frequency of the figure")
          @In(Unit.WATT)
          @Bounds(low = 1e-6)
          Quantity power,
      @Meaning("from where to where") @In(Unit.HERTZ) @Initially("20 Hz..20 kHz")
          QuantityRange band,
      @Meaning("how long the sweep lasts, about") @Initially("2 s") @Bounds(low = 0.1)
          Duration sweep,
      @Meaning("where the figure is read off the curve")
          @In(Unit.HERTZ)
          @Initially("1 kHz")
          @Bounds(low = 1)
          Quantity frequency) {
    Settings {
      SweptBand.requireInside(band, frequency);
    }
  }

  private static final int POINTS_PER_OCTAVE = 12;

  @Override
  public String id() {
    return "channel-balance";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    Conditions more = more(settings);
    return Outline.ofDriving(
            List.of(
                new Outline.Promise("channel balance", more, Unit.DECIBEL, true)
                    .known(Outline.Basis.INPUT, Outline.Basis.OUTPUT),
                new Outline.Promise(
                        "channel balance at " + settings.frequency.display(),
                        more,
                        Unit.DECIBEL,
                        false)
                    .known(Outline.Basis.INPUT, Outline.Basis.OUTPUT)),
            settings.audio,
            settings.sweep.plusSeconds(3))
        .driving(settings.power, settings.sweep);
  }

  private static Conditions more(Settings settings) {
    return Conditions.of("power", settings.power.display());
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ToneBench audio = ToneBench.of(bench, settings.audio);
    if (audio.channels().size() != 2) {
      return outline(settings)
          .invalid(bench.conditions(), "channel balance is measured under channel both, of two");
    }
    ReadySweep sweep =
        ReadySweep.of(SweptBand.sweep(settings.band, settings.sweep, audio.sampleRateHz()));
    List<Levelling.Level> levels =
        SweepShot.levels(audio, sweep, settings.frequency.in(Unit.HERTZ), settings.power);
    for (Levelling.Level level : levels) {
      if (!level.found()) {
        return outline(settings).invalid(bench.conditions(), level.trouble());
      }
    }
    // The lower drive, so that neither channel gives more than the stated power.
    Levelling.Level lower =
        levels.get(0).drivePeakVolts() <= levels.get(1).drivePeakVolts()
            ? levels.get(0)
            : levels.get(1);
    List<SweepShot> shots = SweepShot.play(audio, sweep, List.of(lower, lower));
    for (SweepShot shot : shots) {
      if (!shot.good()) {
        return outline(settings).invalid(bench.conditions(), shot.trouble());
      }
    }
    return known(
        audio, shots, results(settings, bench.conditions(), sweep.sweep(), shots), settings);
  }

  private static List<Measurement> known(
      ToneBench audio, List<SweepShot> shots, List<Measurement> results, Settings settings) {
    Function<AudioTrust, DoubleFunction<Factor>> factor =
        trust -> {
          SweepNoise first = new SweepNoise(shots.get(0).response(), "noise, first channel,");
          SweepNoise second = new SweepNoise(shots.get(1).response(), "noise, second channel,");
          ToneBench.Channel one = audio.channels().get(0);
          ToneBench.Channel other = audio.channels().get(1);
          return hertz ->
              trust
                  .gain(one, hertz)
                  .times(first.at(hertz))
                  .over(trust.gain(other, hertz).times(second.at(hertz)));
        };
    return List.of(
        audio.knownCurve(results.get(0), factor),
        audio.known(
            results.get(1), trust -> factor.apply(trust).apply(settings.frequency.in(Unit.HERTZ))));
  }

  private List<Measurement> results(
      Settings settings, Conditions under, Sweep sweep, List<SweepShot> shots) {
    double[] hz = ResponseFigures.logSpaced(sweep.startHz(), sweep.endHz(), POINTS_PER_OCTAVE);
    try {
      Curve first = shots.get(0).response().magnitudeDb(hz);
      Curve second = shots.get(1).response().magnitudeDb(hz);
      double[] db = new double[hz.length];
      for (int i = 0; i < db.length; i++) {
        db[i] = first.y(i) - second.y(i);
      }
      Curve balance = Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, db);
      Conditions conditions = under.and(more(settings));
      return List.of(
          Measurement.of("channel balance", conditions, balance),
          Measurement.of(
              "channel balance at " + settings.frequency.display(),
              conditions,
              Quantity.of(
                  ResponseFigures.levelDb(balance, settings.frequency.in(Unit.HERTZ)),
                  Unit.DECIBEL)));
    } catch (IllegalArgumentException e) {
      return outline(settings).invalid(under, String.valueOf(e.getMessage()));
    }
  }
}
