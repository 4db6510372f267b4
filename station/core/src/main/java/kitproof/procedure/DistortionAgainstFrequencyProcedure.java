package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.ToDoubleFunction;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.document.OneOrMore;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.signal.ResponseFigures;
import kitproof.signal.ToneFigures;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/**
 * THD+N, THD and each harmonic against frequency at constant output power: the drive is levelled at
 * each frequency, and for several powers from the lowest up.
 *
 * <p>Quiet sweeps before show what the unit gives where, so that no tone begins above its power,
 * whatever resonates. Of each power all tones are levelled at once ({@link TonesInTurn}). A
 * harmonic's curve ends where it leaves the measuring band; what is not measured is left out, and
 * the curve of THD says up to where which harmonics are in it.
 */
final class DistortionAgainstFrequencyProcedure
    implements Procedure<DistortionAgainstFrequencyProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output powers to measure at, rising")
          @In(Unit.WATT)
          @Bounds(low = 1e-6)
          @OneOrMore
          List<Quantity> power,
      @Meaning("from where to where the tone goes") @In(Unit.HERTZ) @Initially("50 Hz..10 kHz")
          QuantityRange frequencies,
      @Meaning("tones in an octave") @Initially("1") @Bounds(low = 1, high = 24) int perOctave,
      @Meaning("the measuring band of thd+n")
          @In(Unit.HERTZ)
          @Initially("20 Hz..20 kHz")
          @Bounds(low = 0)
          QuantityRange band,
      @Meaning("the highest harmonic") @Initially("5") @Bounds(low = 2, high = 50) int harmonics,
      @Meaning("how long to listen to each tone") @Initially("150 ms") @Bounds(low = 0.05)
          Duration listen) {
    Settings {
      if (band.low().equals(band.high())) {
        throw new IllegalArgumentException("a band that is wider than one frequency");
      }
      if (!(frequencies.low().value() >= 1) || frequencies.low().equals(frequencies.high())) {
        throw new IllegalArgumentException(
            "\"frequencies\" from 1 Hz or above to a higher one, such as \"50 Hz..10 kHz\"");
      }
      for (int i = 0; i < power.size(); i++) {
        if (i > 0 && power.get(i).value() <= power.get(i - 1).value()) {
          throw new IllegalArgumentException("\"power\" from the lowest up, such as [1 W, 10 W]");
        }
      }
      if (power.isEmpty()) {
        throw new IllegalArgumentException("at least one \"power\"");
      }
    }

    /** Seconds that a tone is listened to at least. */
    double listenSeconds(double hz) {
      return Math.max(listen.toNanos() / 1e9, FEWEST_CYCLES / hz);
    }
  }

  /** Cycles that a tone's block holds at least. */
  private static final double FEWEST_CYCLES = 7;

  @Override
  public String id() {
    return "distortion-against-frequency";
  }

  @Override
  public Class<Settings> settings() {
    return Settings.class;
  }

  @Override
  public Outline outline(Settings settings) {
    List<Outline.Promise> promises = new ArrayList<>();
    for (Quantity power : settings.power) {
      Conditions more = more(power);
      promises.add(
          Outline.Promise.ofChannel(
                  "thd+n against frequency", inBand(settings, power), Unit.PERCENT, true)
              .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
      promises.add(
          Outline.Promise.ofChannel("thd against frequency", more, Unit.PERCENT, true)
              .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
      for (int order = 2; order <= settings.harmonics; order++) {
        promises.add(
            Outline.Promise.ofChannel(harmonic(order), more, Unit.DECIBEL, true)
                .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL));
      }
    }
    return Outline.ofDriving(
            promises,
            settings.audio,
            settings
                .listen
                .plusMillis(170)
                .multipliedBy(3L * settings.power.size() * frequencies(settings).length)
                .plusSeconds(1))
        .driving(
            settings.power.get(settings.power.size() - 1),
            TonesInTurn.longest(frequencies(settings), settings::listenSeconds));
  }

  /** Evenly spaced on a logarithmic axis, both ends included. */
  private static double[] frequencies(Settings settings) {
    return ResponseFigures.logSpaced(
        settings.frequencies.low().in(Unit.HERTZ),
        settings.frequencies.high().in(Unit.HERTZ),
        settings.perOctave);
  }

  /** A tone's figures at one frequency and power on one channel, or why there are none. */
  record Point(
      double hertz,
      Levelling.Level level,
      double own,
      double ownThd,
      Optional<DistortionTrust> trust) {
    /** Of which nothing else is known. */
    Point(double hertz, Levelling.Level level) {
      this(hertz, level, 0, 0, Optional.empty());
    }
  }

  private static double[] ownThd(List<Point> points) {
    return points.stream().mapToDouble(Point::ownThd).toArray();
  }

  @Override
  public List<Measurement> measure(Settings settings, StepBench bench)
      throws InstrumentException, InterruptedException {
    ToneBench audio = ToneBench.of(bench, settings.audio);
    int channels = audio.channels().size();
    int powers = settings.power.size();
    List<List<Point>> points = new ArrayList<>();
    for (int i = 0; i < channels * powers; i++) {
      points.add(new ArrayList<>());
    }
    String trouble = trouble(settings, audio);
    if (trouble.isEmpty()) {
      measure(settings, audio, points);
    }
    List<Measurement> measurements = new ArrayList<>();
    for (int c = 0; c < channels; c++) {
      for (int p = 0; p < powers; p++) {
        measurements.addAll(
            curves(
                settings,
                settings.power.get(p),
                audio.channels().get(c).conditions(),
                points.get(c * powers + p),
                trouble));
      }
    }
    return measurements;
  }

  /** Measures all points, by channel and power. */
  private static void measure(Settings settings, ToneBench audio, List<List<Point>> points)
      throws InstrumentException {
    int powers = settings.power.size();
    FirstLook look = look(settings, audio);
    double[] hertz = frequencies(settings);
    List<CoherentTone> tones = new ArrayList<>();
    List<List<RisingGain>> gains = new ArrayList<>();
    for (double hz : hertz) {
      CoherentTone tone = audio.tone(hz, settings.listenSeconds(hz));
      tones.add(tone);
      gains.add(look.gains(tone.frequencyHz()));
    }
    for (int p = 0; p < powers; p++) {
      List<List<Levelling.Level>> levels =
          TonesInTurn.toPower(
              audio, tones, gains, band(settings), settings.harmonics, settings.power.get(p));
      for (int i = 0; i < hertz.length; i++) {
        for (int c = 0; c < levels.get(i).size(); c++) {
          points
              .get(c * powers + p)
              .add(point(audio, c, levels.get(i).get(c), hertz[i], band(settings)));
        }
      }
    }
  }

  /** At the lowest power, as near to 1 kHz as the frequencies come. */
  private static FirstLook look(Settings settings, ToneBench audio) throws InstrumentException {
    double low = settings.frequencies.low().in(Unit.HERTZ);
    double high = settings.frequencies.high().in(Unit.HERTZ);
    double reference = Math.max(low, Math.min(high, 1000));
    return FirstLook.at(
        audio, low, high, reference, Levelling.toPower(audio, reference, settings.power.get(0)));
  }

  private static Point point(
      ToneBench audio, int channel, Levelling.Level level, double hertz, Band band) {
    ToneFigures figures = level.figures();
    if (!level.found() || figures == null) {
      return new Point(hertz, level);
    }
    ToneBench.Channel of = audio.channels().get(channel);
    double volts = level.outputVolts();
    double gain = volts * Math.sqrt(2) / level.drivePeakVolts();
    return new Point(
        hertz,
        level,
        audio.own().thdPlusNoise(of, volts, hertz, gain, band),
        audio.own().thd(of, volts, hertz),
        DistortionTrust.of(audio, of, figures, level.drivePeakVolts(), band));
  }

  private static String trouble(Settings settings, ToneBench audio) {
    if (settings.band.high().in(Unit.HERTZ) > audio.sampleRateHz() / 2) {
      return "the band reaches beyond half of the interface's sample rate";
    }
    return settings.frequencies.high().in(Unit.HERTZ)
            >= Levelling.HIGHEST_OF_RATE * audio.sampleRateHz()
        ? "the highest frequency is too near half of the interface's sample rate"
        : "";
  }

  private static Band band(Settings settings) {
    return new Band(settings.band.low().in(Unit.HERTZ), settings.band.high().in(Unit.HERTZ));
  }

  static List<Measurement> curves(
      Settings settings, Quantity power, Conditions own, List<Point> points, String trouble) {
    String missed =
        points.stream()
            .filter(point -> !point.level.found())
            .map(
                point ->
                    Quantity.of(point.hertz, Unit.HERTZ).display() + ": " + point.level.trouble())
            .findFirst()
            .orElse(trouble);
    Conditions conditions = own.and(more(power));
    List<Measurement> measurements = new ArrayList<>();
    measurements.add(
        OwnResidual.noted(
            curve(
                "thd+n against frequency",
                own.and(inBand(settings, power)),
                Unit.PERCENT,
                points,
                f -> 100 * f.thdPlusNoise(),
                missed),
            points.stream().mapToDouble(Point::own).toArray()));
    measurements.add(
        alsoNoted(
            OwnResidual.noted(
                curve(
                    "thd against frequency",
                    conditions,
                    Unit.PERCENT,
                    points,
                    f -> f.harmonics().isEmpty() ? Double.NaN : 100 * f.thd(),
                    missed),
                ownThd(points)),
            holds(settings)));
    for (int order = 2; order <= settings.harmonics; order++) {
      int wanted = order;
      measurements.add(
          OwnResidual.noted(
              curve(
                  harmonic(order),
                  conditions,
                  Unit.DECIBEL,
                  points,
                  f -> f.harmonic(wanted).map(h -> Levels.db(h.ratio())).orElse(Double.NaN),
                  missed),
              ownThd(points)));
    }
    return measurements;
  }

  /** Up to where the measuring band holds which harmonics; empty if all are in it everywhere. */
  private static String holds(Settings settings) {
    double top = settings.band.high().in(Unit.HERTZ);
    List<String> parts = new ArrayList<>();
    for (int order = settings.harmonics; order >= 2; order--) {
      double highest = top / order;
      if (highest < settings.frequencies.high().in(Unit.HERTZ)) {
        parts.add(
            String.format(
                Locale.ROOT, "%d up to %s", order, Quantity.of(highest, Unit.HERTZ).display()));
      }
    }
    return parts.isEmpty() ? "" : "the band holds harmonic " + String.join(", ", parts);
  }

  private static Measurement alsoNoted(Measurement measurement, String note) {
    if (note.isEmpty() || measurement.figure() instanceof Figure.Invalid) {
      return measurement;
    }
    return measurement.noted(note);
  }

  private static Measurement curve(
      String name,
      Conditions conditions,
      Unit unit,
      List<Point> points,
      ToDoubleFunction<ToneFigures> value,
      String missed) {
    if (!missed.isEmpty()) {
      return Measurement.invalid(name, conditions, missed);
    }
    double[] hertz = new double[points.size()];
    double[] values = new double[points.size()];
    int count = 0;
    List<DistortionTrust> trusts = new ArrayList<>();
    for (Point point : points) {
      ToneFigures figures = point.level.figures();
      double found = figures == null ? Double.NaN : value.applyAsDouble(figures);
      if (figures != null && Double.isFinite(found)) {
        hertz[count] = figures.frequencyHz();
        values[count] = found;
        count++;
        point.trust.ifPresent(trusts::add);
      }
    }
    if (count == 0) {
      return Measurement.invalid(name, conditions, "it does not lie within the measuring band");
    }
    Measurement curve =
        Measurement.of(
            name,
            conditions,
            Curve.of(Unit.HERTZ, Arrays.copyOf(hertz, count), unit, Arrays.copyOf(values, count)));
    return trusts.size() < count ? curve : Budgeted.onCurve(curve, i -> trusts.get(i).of(name));
  }

  private static String harmonic(int order) {
    return "harmonic " + order + " against frequency";
  }

  private static Conditions more(Quantity power) {
    return Conditions.of("power", power.display());
  }

  private static Conditions inBand(Settings settings, Quantity power) {
    return more(power)
        .with("band", settings.band.low().display() + ".." + settings.band.high().display());
  }
}
