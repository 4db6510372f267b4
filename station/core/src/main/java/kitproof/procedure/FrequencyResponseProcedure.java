package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.function.DoubleFunction;
import java.util.function.Function;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.FrequencyResponse;
import kitproof.signal.Polarity;
import kitproof.signal.ResponseFigures;
import kitproof.signal.Sweep;
import kitproof.signal.ToneFigures;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Level relative to 1 kHz against frequency from one exponential sine sweep (Farina 2000;
 * synchronised form of Novak et al. 2015) or from stepped tones, with corner frequencies by
 * interpolation.
 *
 * <p>The phase is that of output against input without the interface's own delay; the polarity is
 * read off it where no corner turns it: 1 if a positive input makes a positive output, -1 if it is
 * inverted.
 *
 * <p>The drive is levelled to the stated power at 1 kHz and held over the sweep, or lower if the
 * unit would give more than that elsewhere in the band.
 */
final class FrequencyResponseProcedure implements Procedure<FrequencyResponseProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power at 1 kHz; not exceeded elsewhere")
          @In(Unit.WATT)
          @Bounds(low = 1e-6)
          Quantity power,
      @Meaning("from where to where") @In(Unit.HERTZ) @Initially("10 Hz..40 kHz")
          QuantityRange band,
      @Meaning("one sweep, or stepped tones one after the other") @Initially("sweep") Method method,
      @Meaning("how long the sweep lasts, about") @Initially("4 s") @Bounds(low = 0.1)
          Duration sweep,
      @Meaning("stepped tones in an octave") @Initially("3") @Bounds(low = 1, high = 24)
          int perOctave,
      @Meaning("the drop that makes a corner")
          @In(Unit.DECIBEL)
          @Initially("1 dB")
          @Bounds(low = 0.01)
          Quantity drop,
      @Meaning("the interface's own delay, where its driver does not take it out")
          @Initially("0 s")
          @Bounds(low = 0)
          Duration interfaceDelay) {
    Settings {
      if (!(band.low().in(Unit.HERTZ) > 0
          && band.low().in(Unit.HERTZ) < REFERENCE_HERTZ
          && band.high().in(Unit.HERTZ) > REFERENCE_HERTZ)) {
        throw new IllegalArgumentException(
            "a band from below to above 1 kHz, to which levels are relative");
      }
    }
  }

  /** How the response is found. */
  enum Method {
    SWEEP("sweep"),
    STEPPED("stepped");

    private final String word;

    Method(String word) {
      this.word = word;
    }

    /** The word in plans. */
    @Override
    public String toString() {
      return word;
    }
  }

  private static final double REFERENCE_HERTZ = 1000;

  /** Where no corner of an amplifier turns the phase. */
  private static final Band MIDDLE = new Band(400, 2500);

  private static final int POINTS_PER_OCTAVE = 12;

  @Override
  public String id() {
    return "frequency-response";
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
        Outline.Promise.ofChannel("frequency response", more, Unit.DECIBEL, true)
            .against(Unit.HERTZ)
            .known(Outline.Basis.INPUT, Outline.Basis.OUTPUT));
    promises.add(
        Outline.Promise.ofChannel(Corners.LOWER, cornerConditions(settings), Unit.HERTZ, false)
            .known(Outline.Basis.INPUT, Outline.Basis.OUTPUT));
    promises.add(
        Outline.Promise.ofChannel(Corners.UPPER, cornerConditions(settings), Unit.HERTZ, false)
            .known(Outline.Basis.INPUT, Outline.Basis.OUTPUT));
    if (settings.method == Method.SWEEP) {
      promises.add(
          Outline.Promise.ofChannel("phase", more, Unit.DEGREE, true)
              .against(Unit.HERTZ)
              .known(Outline.Basis.INPUT, Outline.Basis.PHASE));
      promises.add(Outline.Promise.ofChannel("polarity", more, Unit.ONE, false));
    }
    return Outline.ofDriving(
            promises,
            settings.audio,
            settings.method == Method.SWEEP
                ? settings.sweep.plusSeconds(3)
                : Duration.ofSeconds(2L + 3L * settings.perOctave))
        .driving(settings.power, settings.method == Method.SWEEP ? settings.sweep : Duration.ZERO);
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ToneBench audio = ToneBench.of(bench, settings.audio);
    double low = settings.band.low().in(Unit.HERTZ);
    double high =
        Math.min(
            settings.band.high().in(Unit.HERTZ), audio.sampleRateHz() * Levelling.HIGHEST_OF_RATE);
    List<Measurement> measurements = new ArrayList<>();
    List<Answer> answers =
        settings.method == Method.SWEEP
            ? swept(audio, low, high, settings)
            : stepped(audio, low, high, settings);
    for (int c = 0; c < answers.size(); c++) {
      Conditions own = audio.channels().get(c).conditions();
      Conditions conditions = own.and(more(settings));
      Conditions corners = own.and(cornerConditions(settings));
      Answer answer = answers.get(c);
      if (answer.curve == null) {
        measurements.add(Measurement.invalid("frequency response", conditions, answer.trouble));
        measurements.addAll(Corners.invalid(corners, answer.trouble));
      } else {
        Curve relative = ResponseFigures.relativeTo(answer.curve, REFERENCE_HERTZ);
        double drop = settings.drop.in(Unit.DECIBEL);
        Function<AudioTrust, DoubleFunction<Factor>> trusted =
            trusted(audio.channels().get(c), answer);
        measurements.add(
            audio.knownCurve(Measurement.of("frequency response", conditions, relative), trusted));
        measurements.addAll(
            known(audio, relative, trusted, Corners.of(relative, drop, REFERENCE_HERTZ, corners)));
      }
      if (settings.method == Method.SWEEP) {
        for (Measurement each : phase(answer, settings.interfaceDelay, conditions)) {
          measurements.add(
              each.name().equals("phase") && answer.seen != null
                  ? PhaseTrust.known(audio, audio.channels().get(c), answer.seen, each)
                  : each);
        }
      }
    }
    return measurements;
  }

  /**
   * What a channel answered.
   *
   * @param curve output over drive in dB; null if there is none
   * @param response with its phase; null unless it was swept
   * @param noise what noise in the capture leaves open, by frequency
   * @param seen the noise in the sweep; null unless it was swept
   * @param trouble why there is none
   */
  private record Answer(
      @Nullable Curve curve,
      @Nullable FrequencyResponse response,
      DoubleFunction<Factor> noise,
      @Nullable SweepNoise seen,
      String trouble) {
    static Answer none(String trouble) {
      return new Answer(null, null, hertz -> Factor.EXACT, null, trouble);
    }
  }

  /** How well each point of the curve is known beside the reference. */
  private static Function<AudioTrust, DoubleFunction<Factor>> trusted(
      ToneBench.Channel channel, Answer answer) {
    return trust -> {
      DoubleFunction<Factor> level =
          hertz -> trust.gain(channel, hertz).times(answer.noise.apply(hertz));
      Factor reference = level.apply(REFERENCE_HERTZ);
      return hertz -> level.apply(hertz).over(reference);
    };
  }

  /** The corners as far as they are known, by where the curve falls through them. */
  private static List<Measurement> known(
      ToneBench audio,
      Curve relative,
      Function<AudioTrust, DoubleFunction<Factor>> trusted,
      List<Measurement> corners) {
    if (audio.trust().isEmpty()) {
      return corners;
    }
    DoubleFunction<Factor> factor = trusted.apply(audio.trust().get());
    return corners.stream()
        .map(
            corner ->
                Budgeted.on(
                    corner,
                    hertz ->
                        factor
                            .apply(hertz.value())
                            .figure(0, Unit.DECIBEL)
                            .scaled(1 / Slope.of(relative, hertz.value()))))
        .toList();
  }

  private static List<Answer> swept(ToneBench audio, double low, double high, Settings settings)
      throws InstrumentException {
    double seconds = settings.sweep.toNanos() / 1e9;
    ReadySweep sweep = ReadySweep.of(Sweep.synchronised(low, high, seconds, audio.sampleRateHz()));
    List<Levelling.Level> levels = SweepShot.levels(audio, sweep, REFERENCE_HERTZ, settings.power);
    double[] hertz = ResponseFigures.logSpaced(low, high, POINTS_PER_OCTAVE);
    return SweepShot.play(audio, sweep, levels).stream()
        .map(shot -> shot.good() ? swept(shot, hertz) : Answer.none(shot.trouble()))
        .toList();
  }

  private static Answer swept(SweepShot shot, double[] hertz) {
    SweepNoise noise = new SweepNoise(shot.response(), "noise in the sweep");
    return new Answer(
        shot.response().magnitudeDb(hertz), shot.response().linear(), noise::at, noise, "");
  }

  private static List<Answer> stepped(ToneBench audio, double low, double high, Settings settings)
      throws InstrumentException {
    List<Levelling.Level> levels =
        FirstLook.at(
                audio,
                low,
                high,
                REFERENCE_HERTZ,
                Levelling.toPower(audio, REFERENCE_HERTZ, settings.power))
            .held();
    SteppedResponse tones =
        new SteppedResponse(audio, low, high, settings.perOctave, REFERENCE_HERTZ);
    Capture capture = levels.stream().anyMatch(Levelling.Level::found) ? tones.play(levels) : null;
    List<Answer> answers = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      Levelling.Level level = levels.get(c);
      ToneBench.Channel channel = audio.channels().get(c);
      String trouble =
          level.found() && capture != null ? audio.trouble(capture, channel) : level.trouble();
      answers.add(
          trouble.isEmpty() && capture != null
              ? stepped(tones.tones(capture, channel), level.drivePeakVolts(), audio)
              : Answer.none(trouble));
    }
    return answers;
  }

  private static Answer stepped(List<ToneFigures> tones, double drivePeakVolts, ToneBench audio) {
    return new Answer(
        SteppedResponse.response(tones, drivePeakVolts),
        null,
        hertz -> {
          ToneFigures nearest =
              tones.stream()
                  .min(Comparator.comparingDouble(t -> Math.abs(Math.log(t.frequencyHz() / hertz))))
                  .orElseThrow();
          return AudioTrust.observed(
              "tone at " + Quantity.of(nearest.frequencyHz(), Unit.HERTZ).display(),
              nearest,
              audio.sampleRateHz() / 2);
        },
        null,
        "");
  }

  private static List<Measurement> phase(
      Answer answer, Duration interfaceDelay, Conditions conditions) {
    if (answer.curve == null || answer.response == null) {
      return List.of(
          Measurement.invalid("phase", conditions, answer.trouble),
          Measurement.invalid("polarity", conditions, answer.trouble));
    }
    FrequencyResponse undelayed = answer.response.withoutDelay(interfaceDelay.toNanos() / 1e9);
    return List.of(
        Measurement.of(
            "phase", conditions, ResponseFigures.placedPhase(undelayed.phase(answer.curve.xs()))),
        polarity(undelayed, conditions));
  }

  private static Measurement polarity(FrequencyResponse undelayed, Conditions conditions) {
    Band known = undelayed.band();
    Band middle =
        new Band(
            Math.max(MIDDLE.lowHz(), known.lowHz()), Math.min(MIDDLE.highHz(), known.highHz()));
    return Polarity.of(undelayed, middle)
        .map(polarity -> polarity == Polarity.KEPT ? 1 : -1)
        .map(sign -> Measurement.of("polarity", conditions, Quantity.of(sign, Unit.ONE)))
        .orElseGet(
            () ->
                Measurement.invalid(
                    "polarity",
                    conditions,
                    "it is ambiguous: in the middle of the band the phase is neither near 0 nor"
                        + " near 180 degrees"));
  }

  private static Conditions more(Settings settings) {
    return Conditions.of("power", settings.power.display());
  }

  private static Conditions cornerConditions(Settings settings) {
    return more(settings).with("drop", settings.drop.display());
  }
}
