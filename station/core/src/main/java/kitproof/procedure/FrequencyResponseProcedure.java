package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.signal.Band;
import kitproof.signal.FrequencyResponse;
import kitproof.signal.Polarity;
import kitproof.signal.ResponseFigures;
import kitproof.signal.Sweep;
import kitproof.signal.SweepAnalysis;
import kitproof.signal.SweepResponse;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/**
 * Level relative to 1 kHz against frequency from one exponential sine sweep (Farina 2000;
 * synchronised form of Novak et al. 2015), with corner frequencies by interpolation.
 *
 * <p>The phase is that of output against input without the interface's own delay; the polarity is
 * read off it where no corner turns it: 1 if a positive input makes a positive output, -1 if it is
 * inverted.
 *
 * <p>The drive is levelled to the stated power at 1 kHz and held over the sweep.
 */
final class FrequencyResponseProcedure implements Procedure<FrequencyResponseProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power at 1 kHz") @In(Unit.WATT) @Bounds(low = 1e-6) Quantity power,
      @Meaning("from where to where") @In(Unit.HERTZ) @Initially("10 Hz..40 kHz")
          QuantityRange band,
      @Meaning("how long the sweep lasts, about") @Initially("4 s") @Bounds(low = 0.1)
          Duration sweep,
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

  private static final double REFERENCE_HERTZ = 1000;

  /**
   * Where no corner of an amplifier turns the phase; the band reaches from below to above 1 kHz.
   */
  private static final Band MIDDLE = new Band(400, 2500);

  private static final int POINTS_PER_OCTAVE = 12;

  /** Left to ring out after the sweep, seconds. */
  private static final double TAIL_SECONDS = 0.3;

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
    return new Outline(
        List.of(
            Outline.Promise.ofChannel("frequency response", more, Unit.DECIBEL, true),
            Outline.Promise.ofChannel(
                "lower corner", cornerConditions(settings), Unit.HERTZ, false),
            Outline.Promise.ofChannel(
                "upper corner", cornerConditions(settings), Unit.HERTZ, false),
            Outline.Promise.ofChannel("phase", more, Unit.DEGREE, true),
            Outline.Promise.ofChannel("polarity", more, Unit.ONE, false)),
        List.of(new Outline.Need(settings.audio, InstrumentKind.AUDIO_INTERFACE, "")),
        true,
        Outline.MainsUse.NONE,
        settings.sweep.plusSeconds(3));
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ToneBench audio = ToneBench.of(bench, settings.audio);
    List<Levelling.Level> levels = Levelling.toPower(audio, REFERENCE_HERTZ, settings.power);
    double low = settings.band.low().in(Unit.HERTZ);
    double high =
        Math.min(
            settings.band.high().in(Unit.HERTZ), audio.sampleRateHz() * Levelling.HIGHEST_OF_RATE);
    Sweep sweep =
        Sweep.synchronised(low, high, settings.sweep.toNanos() / 1e9, audio.sampleRateHz());
    int length = sweep.length() + (int) (TAIL_SECONDS * audio.sampleRateHz());
    List<double[]> stimuli = new ArrayList<>();
    for (Levelling.Level level : levels) {
      stimuli.add(Arrays.copyOf(sweep.samples(level.drivePeakVolts()), length));
    }
    boolean any = levels.stream().anyMatch(Levelling.Level::found);
    Capture capture = any ? audio.exchange(stimuli) : null;
    List<Measurement> measurements = new ArrayList<>();
    for (int c = 0; c < levels.size(); c++) {
      ToneBench.Channel channel = audio.channels().get(c);
      Levelling.Level level = levels.get(c);
      Conditions conditions = channel.conditions().and(more(settings));
      Conditions corners = channel.conditions().and(cornerConditions(settings));
      String trouble =
          level.found() && capture != null ? audio.trouble(capture, channel) : level.trouble();
      if (capture == null || !trouble.isEmpty()) {
        measurements.addAll(invalid(conditions, corners, trouble));
        measurements.add(Measurement.invalid("phase", conditions, trouble));
        measurements.add(Measurement.invalid("polarity", conditions, trouble));
      } else {
        SweepResponse response =
            SweepAnalysis.response(sweep, level.drivePeakVolts(), audio.input(capture, channel));
        Curve curve =
            ResponseFigures.relativeTo(
                response.magnitudeDb(ResponseFigures.logSpaced(low, high, POINTS_PER_OCTAVE)),
                REFERENCE_HERTZ);
        measurements.addAll(figures(curve, settings.drop.in(Unit.DECIBEL), conditions, corners));
        FrequencyResponse undelayed =
            response.linear().withoutDelay(settings.interfaceDelay.toNanos() / 1e9);
        measurements.add(Measurement.of("phase", conditions, undelayed.phase(curve.xs())));
        measurements.add(polarity(undelayed, conditions));
      }
    }
    return measurements;
  }

  private static List<Measurement> figures(
      Curve curve, double drop, Conditions conditions, Conditions corners) {
    List<Measurement> measurements = new ArrayList<>();
    measurements.add(Measurement.of("frequency response", conditions, curve));
    measurements.add(
        corner(
            "lower corner",
            corners,
            ResponseFigures.lowerCornerHz(curve, drop, REFERENCE_HERTZ),
            drop,
            curve));
    measurements.add(
        corner(
            "upper corner",
            corners,
            ResponseFigures.upperCornerHz(curve, drop, REFERENCE_HERTZ),
            drop,
            curve));
    return measurements;
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

  private static Measurement corner(
      String name, Conditions conditions, OptionalDouble hertz, double drop, Curve curve) {
    if (hertz.isPresent()) {
      return Measurement.of(name, conditions, Quantity.of(hertz.getAsDouble(), Unit.HERTZ));
    }
    return Measurement.invalid(
        name,
        conditions,
        String.format(
            Locale.ROOT,
            "the response does not fall by %.1f dB between %.0f Hz and %.0f Hz",
            drop,
            curve.x(0),
            curve.x(curve.size() - 1)));
  }

  private static List<Measurement> invalid(
      Conditions conditions, Conditions corners, String reason) {
    return List.of(
        Measurement.invalid("frequency response", conditions, reason),
        Measurement.invalid("lower corner", corners, reason),
        Measurement.invalid("upper corner", corners, reason));
  }

  private static Conditions more(Settings settings) {
    return Conditions.of("power", settings.power.display());
  }

  private static Conditions cornerConditions(Settings settings) {
    return more(settings).with("drop", settings.drop.display());
  }
}
