package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import java.util.Locale;
import kitproof.document.Bounds;
import kitproof.document.In;
import kitproof.document.Initially;
import kitproof.document.Meaning;
import kitproof.driver.InstrumentException;
import kitproof.signal.EdgeFigures;
import kitproof.signal.SquareWave;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * A square wave whose peaks are as high as those of the sine of a stated power, overshoot included:
 * 10–90 % rise time, overshoot, ringing frequency, sag, and two periods to look at.
 *
 * <p>The stimulus' own slope, as steep as the interface's sample rate allows, is taken out of the
 * rise time as slopes add: as squares (common practice; exact for Gaussian slopes). A unit that is
 * hardly slower than the stimulus has no rise time here.
 */
final class SquareWaveProcedure extends HeardProcedure<SquareWaveProcedure.Settings> {
  record Settings(
      @Meaning("the role of the audio interface") @Initially("audio") String audio,
      @Meaning("the power of the sine with the same peak") @In(Unit.WATT) @Bounds(low = 1e-6)
          Quantity power,
      @Meaning("the square wave's frequency")
          @In(Unit.HERTZ)
          @Initially("1 kHz")
          @Bounds(low = 10, high = 5e3)
          Quantity frequency,
      @Meaning("how long to listen") @Initially("100 ms") @Bounds(low = 0.01) Duration listen) {}

  private static final double HARDLY_SLOWER = 1.02;

  SquareWaveProcedure() {
    super("square-wave", Settings.class);
  }

  @Override
  String audio(Settings settings) {
    return settings.audio;
  }

  @Override
  Duration expected(Settings settings) {
    return settings.listen.plusSeconds(3);
  }

  /** A square wave heats a load twice as much as a sine with the same peak. */
  @Override
  Outline.Drive drive(Settings settings) {
    return new Outline.Drive(
        Quantity.of(2 * settings.power.in(Unit.WATT), Unit.WATT), settings.listen);
  }

  @Override
  List<Outline.Promise> promises(Settings settings) {
    Conditions more =
        Conditions.of("power", settings.power.display())
            .with("frequency", settings.frequency.display());
    return List.of(
        Outline.Promise.ofChannel("square wave", more, Unit.VOLT, true)
            .known(Outline.Basis.INPUT, Outline.Basis.PHASE, Outline.Basis.LOAD),
        Outline.Promise.ofChannel("rise time", more, Unit.SECOND, false)
            .known(Outline.Basis.INPUT, Outline.Basis.PHASE),
        Outline.Promise.ofChannel("overshoot", more, Unit.PERCENT, false)
            .known(Outline.Basis.INPUT, Outline.Basis.PHASE),
        Outline.Promise.ofChannel("ringing frequency", more, Unit.HERTZ, false)
            .known(Outline.Basis.INPUT, Outline.Basis.PHASE),
        Outline.Promise.ofChannel("sag", more, Unit.PERCENT, false)
            .known(Outline.Basis.INPUT, Outline.Basis.PHASE));
  }

  @Override
  Take<Block> take(Settings settings, StepBench bench, ToneBench audio) throws InstrumentException {
    double hertz = settings.frequency.in(Unit.HERTZ);
    SquareWave wave = SquareWave.near(hertz, audio.sampleRateHz());
    List<Levelling.Level> levels =
        SquareLook.held(
            audio, wave, Levelling.toPower(audio, hertz, settings.power), settings.power);
    int periods = (int) Math.max(4, settings.listen.toNanos() / 1e9 * wave.frequencyHz());
    List<Block> blocks =
        Block.driven(
            audio,
            levels,
            periods * wave.period(),
            wave.frequencyHz(),
            length -> wave.samples(1, length));
    return Take.looked(
        blocks,
        block -> figures(block.volts(), wave, wave.riseSeconds()),
        block -> new SquareWaveTrust(audio, block, wave, wave.riseSeconds())::known);
  }

  /**
   * @param own rise time of the stimulus itself, 0 to tell that of the capture as it is
   */
  static List<Figure> figures(double[] volts, SquareWave wave, double own) {
    EdgeFigures edge = EdgeFigures.of(volts, wave);
    int start = Traces.risingZero(volts);
    double seconds = 2 / wave.frequencyHz();
    return List.of(
        Traces.of(volts, start, seconds, wave.sampleRateHz(), 1, Unit.VOLT),
        rise(edge.riseSeconds(), own),
        Promised.percent(edge.overshoot()),
        edge.ringingHz().isPresent()
            ? Promised.figure(edge.ringingHz().getAsDouble(), Unit.HERTZ)
            : new Figure.Invalid("nothing rings"),
        Promised.percent(edge.sag()));
  }

  private static Figure rise(double seconds, double own) {
    if (seconds < HARDLY_SLOWER * own) {
      return new Figure.Invalid(
          String.format(
              Locale.ROOT,
              "it is hidden in the stimulus' own %.1f us; a higher sample rate would show it",
              own * 1e6));
    }
    return Promised.figure(Math.sqrt(seconds * seconds - own * own), Unit.SECOND);
  }
}
