package kitproof.procedure;

import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Levels;
import kitproof.signal.Spectrum;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.Window;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/**
 * The spectrum of a tone at a stated output power, in dBV and relative to the fundamental, and what
 * the waveform looks like: some periods of it, and of what is left of it without its fundamental.
 *
 * <p>The shape of the residual waveform tells the order of the distortion: three waves per cycle
 * for a dominant third harmonic (common practice, no source).
 */
final class SpectrumProcedure extends HeardProcedure<SpectrumProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the output power to measure at") @In(Unit.WATT) @Bounds(low = 1e-6) Quantity power,
      @Meaning("the tone") @In(Unit.HERTZ) @Initially("1 kHz") @Bounds(low = 1) Quantity frequency,
      @Meaning("from where to where the spectrum is told")
          @In(Unit.HERTZ)
          @Initially("20 Hz..20 kHz")
          @Bounds(low = 0)
          QuantityRange band,
      @Meaning("how many periods of the waveforms are told")
          @Initially("3")
          @Bounds(low = 1, high = 20)
          int periods,
      @Meaning("how long to listen") @Initially("400 ms") @Bounds(low = 0.05) Duration listen) {
    Settings {
      if (band.low().equals(band.high())) {
        throw new IllegalArgumentException("a band that is wider than one frequency");
      }
    }
  }

  private static final int POINTS_PER_OCTAVE = 24;

  SpectrumProcedure() {
    super("spectrum", Settings.class);
  }

  @Override
  String audio(Settings settings) {
    return settings.audio;
  }

  @Override
  Duration expected(Settings settings) {
    return settings.listen.plusSeconds(3);
  }

  @Override
  Outline.Drive drive(Settings settings) {
    return new Outline.Drive(settings.power, settings.listen);
  }

  @Override
  List<Outline.Promise> promises(Settings settings) {
    Conditions more =
        Conditions.of("power", settings.power.display())
            .with("frequency", settings.frequency.display());
    return List.of(
        Outline.Promise.ofChannel("spectrum", more, Unit.DECIBEL_VOLT, true)
            .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL),
        Outline.Promise.ofChannel("harmonic spectrum", more, Unit.DECIBEL, true)
            .known(Outline.Basis.INPUT, Outline.Basis.LOAD, Outline.Basis.RESIDUAL),
        Outline.Promise.ofChannel("waveform", more, Unit.VOLT, true)
            .known(Outline.Basis.INPUT, Outline.Basis.PHASE, Outline.Basis.LOAD),
        Outline.Promise.ofChannel("residual waveform", more, Unit.PERCENT, true)
            .known(
                Outline.Basis.INPUT,
                Outline.Basis.PHASE,
                Outline.Basis.LOAD,
                Outline.Basis.RESIDUAL));
  }

  @Override
  Take<Block> take(Settings settings, StepBench bench, ToneBench audio) throws InstrumentException {
    double hertz = settings.frequency.in(Unit.HERTZ);
    List<Levelling.Level> levels = Levelling.toPower(audio, hertz, settings.power);
    double seconds = Math.max(settings.listen.toNanos() / 1e9, (settings.periods + 2) / hertz);
    CoherentTone tone = audio.tone(hertz, seconds);
    return Take.looked(
        Block.ofTone(audio, levels, tone),
        block -> figures(block.volts(), tone.sampleRateHz(), tone.frequencyHz(), settings),
        block -> new ToneSpectrumTrust(audio, block, tone.frequencyHz())::known);
  }

  /**
   * What of it may be the station's: of lines its harmonics and its noise, of what is left without
   * the fundamental its thd+n as a whole.
   */
  @Override
  Measurement said(Settings settings, ToneBench audio, Heard heard, Measurement measurement)
      throws InstrumentException {
    if (!(measurement.figure() instanceof Figure.OfCurve of)) {
      return measurement;
    }
    ToneBench.Channel channel = heard.channel();
    double hertz = settings.frequency.in(Unit.HERTZ);
    double volts = Levels.volts(settings.power.in(Unit.WATT), audio.loadOhms(channel));
    OwnLines station = audio.ownLines(channel);
    if (measurement.name().equals("residual waveform")) {
      double own = station.thdPlusNoise(volts, hertz);
      // Percent of the fundamental's peak, so that a sine of 1 % has an rms of 0.71 % here.
      double reading = Math.sqrt(2) * Levels.rms(of.curve().ys()) / 100;
      return OwnResidual.noted(measurement, reading, own);
    }
    double line =
        Window.FLAT_TOP.noiseBandwidthBins()
            / Math.max(settings.listen.toNanos() / 1e9, (settings.periods + 2) / hertz);
    double noise = station.noiseVolts(volts, hertz, line);
    double own = Math.hypot(noise, volts * audio.own().thd(channel, volts, hertz));
    double[] everywhere = new double[of.curve().size()];
    return switch (measurement.name()) {
      case "spectrum" -> {
        Arrays.fill(everywhere, own);
        yield OwnResidual.notedNoise(measurement, everywhere);
      }
      case "harmonic spectrum" -> {
        Arrays.fill(everywhere, own / volts);
        yield OwnResidual.noted(measurement, everywhere);
      }
      default -> measurement;
    };
  }

  /**
   * @param hertz the tone, exactly; it need not lie on a bin
   */
  static List<Figure> figures(double[] volts, double rate, double hertz, Settings settings) {
    double low = settings.band.low().in(Unit.HERTZ);
    double high = Math.min(settings.band.high().in(Unit.HERTZ), rate / 2);
    Spectrum spectrum = Spectrum.of(volts, rate, Window.FLAT_TOP);
    double fundamental = spectrum.volts((int) Math.rint(hertz / spectrum.binHz()));
    if (!(fundamental > 0) || !(low < high)) {
      throw new IllegalArgumentException("no tone, or no band below half the sample rate");
    }
    double[] residual = ToneAnalysis.residual(volts, rate, hertz);
    double[] sine = volts.clone();
    for (int i = 0; i < sine.length; i++) {
      sine[i] -= residual[i];
    }
    int start = Traces.risingZero(sine);
    // Whole periods as the plan names the tone, not as it is played, so that a mask and an axis
    // end with them.
    double seconds = settings.periods / settings.frequency.in(Unit.HERTZ);
    Curve envelope = spectrum.envelope(new Band(low, high), POINTS_PER_OCTAVE);
    return List.of(
        Promised.decibels(envelope, 1, Unit.DECIBEL_VOLT),
        Promised.decibels(envelope, fundamental, Unit.DECIBEL),
        Traces.of(volts, start, seconds, rate, 1, Unit.VOLT),
        Traces.of(
            residual, start, seconds, rate, 100 / (Math.sqrt(2) * fundamental), Unit.PERCENT));
  }
}
