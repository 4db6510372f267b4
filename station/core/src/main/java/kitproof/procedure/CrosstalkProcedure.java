package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.Collectors;
import kitproof.calibration.Calibration;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.Crosstalk;
import kitproof.signal.Levels;
import kitproof.signal.ResponseFigures;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/**
 * What each channel hears of the other, relative to the driven one, against frequency (IEC
 * 60268-3): one sweep into each channel in turn, the other's input held silent by the interface's
 * own output, and one stretch of silence that tells what noise and hum alone would be taken for.
 *
 * <p>A step measures it under {@code channel: both}; the channel of a result is the one that
 * listens.
 */
final class CrosstalkProcedure implements Procedure<CrosstalkProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power of the driven channel at the frequency of the figure")
          @In(Unit.WATT)
          @Bounds(low = 1e-6)
          Quantity power,
      @Meaning("from where to where") @In(Unit.HERTZ) @Initially("20 Hz..20 kHz")
          QuantityRange band,
      @Meaning("how long each sweep lasts, about") @Initially("2 s") @Bounds(low = 0.1)
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

  /** The name of the curve; that of its floor is another. */
  private static final String CURVE = "crosstalk";

  /** The floor is averaged over so many points. */
  private static final int FLOOR_DEGREES = 13;

  /** As many of them count as independent (found by drawing noise; a test draws it again). */
  private static final int FLOOR_POINTS = 8;

  @Override
  public String id() {
    return "crosstalk";
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
                Outline.Promise.ofChannel(CURVE, more, Unit.DECIBEL, true)
                    .known(Outline.Basis.INPUT, Outline.Basis.LEAKAGE),
                Outline.Promise.ofChannel("crosstalk floor", more, Unit.DECIBEL, true)
                    .known(Outline.Basis.INPUT),
                Outline.Promise.ofChannel(
                        "crosstalk at " + settings.frequency.display(), more, Unit.DECIBEL, false)
                    .known(Outline.Basis.INPUT, Outline.Basis.LEAKAGE)),
            settings.audio,
            settings.sweep.multipliedBy(3).plusSeconds(3))
        .driving(settings.power, settings.sweep);
  }

  private static Conditions more(Settings settings) {
    return Conditions.of("power", settings.power.display());
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ToneBench audio = ToneBench.of(bench, settings.audio);
    List<ToneBench.Channel> channels = audio.channels();
    if (channels.size() != 2) {
      return outline(settings)
          .invalid(bench.conditions(), "crosstalk is measured under channel both, of two channels");
    }
    ReadySweep sweep =
        ReadySweep.of(SweptBand.sweep(settings.band, settings.sweep, audio.sampleRateHz()));
    List<Levelling.Level> levels =
        SweepShot.levels(audio, sweep, settings.frequency.in(Unit.HERTZ), settings.power);
    List<Optional<Heard>> heard = heard(audio, sweep, levels);
    List<Measurement> all = new ArrayList<>();
    for (int listening = 0; listening < 2; listening++) {
      Conditions under = channels.get(listening).conditions();
      String trouble = levels.get(1 - listening).trouble();
      all.addAll(
          heard.get(listening).isPresent()
              ? limited(
                  settings,
                  bench.calibration(),
                  channels.get(1 - listening).name(),
                  channels.get(listening).name(),
                  results(settings, bench, audio, listening, heard.get(listening).get()))
              : outline(settings).invalid(under, trouble));
    }
    return all;
  }

  /** By the channel that listens; none where the other has no level. */
  private static List<Optional<Heard>> heard(
      ToneBench audio, ReadySweep sweep, List<Levelling.Level> levels) throws InstrumentException {
    if (levels.stream().noneMatch(Levelling.Level::found)) {
      return List.of(Optional.empty(), Optional.empty());
    }
    int length = sweep.samples(0).length;
    List<double[]> stimuli = List.of(new double[3 * length], new double[3 * length]);
    for (int driven = 0; driven < 2; driven++) {
      double[] played = sweep.samples(levels.get(driven).drivePeakVolts());
      System.arraycopy(played, 0, stimuli.get(driven), (1 + driven) * length, length);
    }
    Capture whole = audio.exchange(stimuli);
    audio.settled(3 * sweep.tail());
    Capture silence = ToneBench.part(whole, 0, length);
    List<Optional<Heard>> heard = new ArrayList<>();
    for (int listening = 0; listening < 2; listening++) {
      int driven = 1 - listening;
      Capture capture = ToneBench.part(whole, (1 + driven) * length, length);
      double peak = levels.get(driven).drivePeakVolts();
      heard.add(
          levels.get(driven).found()
              ? Optional.of(Heard.of(audio, sweep, peak, listening, silence, capture))
              : Optional.empty());
    }
    return heard;
  }

  /** What the driven channel gave, what the other heard of it, and what it heard of silence. */
  private record Heard(SweepShot driven, SweepShot other, SweepShot silent) {
    static Heard of(
        ToneBench audio,
        ReadySweep sweep,
        double peak,
        int listening,
        Capture silence,
        Capture capture) {
      ToneBench.Channel driven = audio.channels().get(1 - listening);
      ToneBench.Channel other = audio.channels().get(listening);
      return new Heard(
          SweepShot.of(audio, capture, driven, sweep, peak),
          SweepShot.of(audio, capture, other, sweep, peak),
          SweepShot.of(audio, silence, other, sweep, peak));
    }
  }

  private List<Measurement> results(
      Settings settings, StepBench bench, ToneBench audio, int listening, Heard heard)
      throws InstrumentException {
    Conditions under = audio.channels().get(listening).conditions();
    for (SweepShot shot : List.of(heard.driven, heard.other, heard.silent)) {
      if (!shot.good()) {
        return outline(settings).invalid(under, shot.trouble());
      }
    }
    double[] hz =
        ResponseFigures.logSpaced(
            heard.driven.response().linear().band().lowHz(),
            heard.driven.response().linear().band().highHz(),
            POINTS_PER_OCTAVE);
    try {
      Crosstalk found =
          Crosstalk.of(
              hz,
              heard.driven.response()::at,
              heard.other.response()::at,
              heard.silent.response()::at);
      tell(bench, under, found);
      Conditions conditions = under.and(more(settings));
      double hertz = settings.frequency.in(Unit.HERTZ);
      double at = ResponseFigures.levelDb(found.level(), hertz);
      ToneBench.Channel to = audio.channels().get(listening);
      ToneBench.Channel from = audio.channels().get(1 - listening);
      return List.of(
          audio.knownCurve(
              Measurement.of(CURVE, conditions, found.level()),
              trust -> here -> known(trust, from, to, found, here)),
          audio.knownCurve(
              Measurement.of("crosstalk floor", conditions, found.floor()),
              trust -> here -> floor(trust, from, to, here)),
          audio.known(
              Measurement.of(
                  "crosstalk at " + settings.frequency.display(),
                  conditions,
                  Quantity.of(at, Unit.DECIBEL)),
              trust -> known(trust, from, to, found, hertz)));
    } catch (IllegalArgumentException e) {
      return outline(settings).invalid(under, String.valueOf(e.getMessage()));
    }
  }

  /**
   * Figure and curve with a note if the station's own leakage between the channels, as calibrated,
   * is near to them. It is not taken out: what leaks at the outputs is amplified, what leaks at the
   * inputs is not, and the loop cannot tell the two apart.
   */
  private static List<Measurement> limited(
      Settings settings,
      Optional<Calibration> calibration,
      String from,
      String to,
      List<Measurement> results) {
    DoubleUnaryOperator own =
        hz ->
            calibration
                .flatMap(c -> c.leakage(settings.audio, from, to, hz))
                .map(known -> Levels.ratio(known.value().value()))
                .orElse(0.0);
    return results.stream()
        .map(
            result -> {
              if (result.figure() instanceof Figure.OfCurve of && result.name().equals(CURVE)) {
                return OwnResidual.notedLeakage(
                    result, Arrays.stream(of.curve().xs()).map(own).toArray());
              }
              return OwnResidual.notedLeakage(
                  result, own.applyAsDouble(settings.frequency.in(Unit.HERTZ)));
            })
        .toList();
  }

  /** The mean of squares over so many points of noise. */
  private static Factor floor(
      AudioTrust trust, ToneBench.Channel from, ToneBench.Channel to, double hertz) {
    return trust
        .volts(to, hertz)
        .over(trust.volts(from, hertz))
        .times(
            Factor.relative(
                "noise and hum with nothing played",
                Contribution.Evaluation.TYPE_A,
                1 / (2 * Math.sqrt(FLOOR_POINTS)),
                FLOOR_POINTS));
  }

  /** A bound is uncertain by all that is below it, down to the noise that sets it. */
  private static Factor known(
      AudioTrust trust,
      ToneBench.Channel from,
      ToneBench.Channel to,
      Crosstalk found,
      double hertz) {
    double level = Levels.ratio(ResponseFigures.levelDb(found.level(), hertz));
    double floor = Levels.ratio(ResponseFigures.levelDb(found.floor(), hertz));
    Factor bound =
        found.isLimitedAt(hertz)
            ? Factor.decibels(
                Contribution.known(
                        "a bound that noise sets",
                        Contribution.Distribution.OFFSET,
                        Crosstalk.BOUND_OVER_FLOOR_DB,
                        Unit.DECIBEL)
                    .on(Contribution.Side.BELOW))
            : Factor.EXACT;
    return trust
        .volts(to, hertz)
        .over(trust.volts(from, hertz))
        .times(trust.leakage(from, to, hertz, level))
        .times(
            Factor.relative(
                "noise and hum with nothing played",
                Contribution.Evaluation.TYPE_A,
                floor / level / Math.sqrt(2),
                FLOOR_DEGREES))
        .times(bound);
  }

  /** A bound is not to be taken for a level. */
  private static void tell(StepBench bench, Conditions under, Crosstalk found)
      throws InstrumentException {
    if (!found.limited().isEmpty()) {
      bench.notice(
          "crosstalk ("
              + under
              + ") is below what is told at "
              + found.limited().stream()
                  .map(b -> String.format(Locale.ROOT, "%.0f Hz..%.0f Hz", b.lowHz(), b.highHz()))
                  .collect(Collectors.joining(", "))
              + ": noise and hum are the limit there");
    }
  }
}
