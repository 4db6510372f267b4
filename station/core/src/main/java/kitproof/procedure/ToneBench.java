package kitproof.procedure;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Fade;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.ToneFigures;
import kitproof.value.Signal;
import org.jspecify.annotations.Nullable;

/**
 * Plays stimuli into the unit's input that the step's conditions name and captures its output.
 *
 * <p>The condition {@code channel} names the interface's output and input; without it the first of
 * each is used. All other outputs stay silent.
 */
final class ToneBench {
  /** Played before the block that is analysed, so that the unit has settled. */
  private static final double LEAD_SECONDS = 0.15;

  private static final double FADE_SECONDS = 0.02;

  /** How often a capture that has lost samples is taken again; each costs the load some heat. */
  private static final int MOST_REPEATS = 3;

  private final StepBench bench;
  private final AudioInterface audio;
  private final AudioPorts ports;
  private final int output;
  private final int input;

  private ToneBench(StepBench bench, AudioInterface audio, int output, int input) {
    this.bench = bench;
    this.audio = audio;
    this.ports = audio.ports();
    this.output = output;
    this.input = input;
  }

  /** The interface in this role with the channel of the step's conditions. */
  static ToneBench of(StepBench bench, String role) throws InstrumentException {
    AudioInterface audio = bench.audio(role);
    AudioPorts ports = audio.ports();
    String channel = bench.conditions().values().get("channel");
    if (channel == null) {
      return new ToneBench(bench, audio, 0, 0);
    }
    int output = ports.output(channel);
    int input = ports.input(channel);
    if (output < 0 || input < 0) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE,
          "the audio interface in role "
              + role
              + " has no "
              + (output < 0 ? "output" : "input")
              + " \""
              + channel
              + "\"; it has "
              + names(output < 0 ? ports.outputs() : ports.inputs()));
    }
    return new ToneBench(bench, audio, output, input);
  }

  private static String names(List<AudioPort> ports) {
    return String.join(", ", ports.stream().map(AudioPort::name).toList());
  }

  double sampleRateHz() {
    return ports.sampleRateHz();
  }

  /** The highest drive this interface can give, volts peak. */
  double highestDrivePeakVolts() {
    return ports.outputs().get(output).fullScalePeakVolts();
  }

  /** The highest voltage this interface can take, volts peak. */
  double highestInputPeakVolts() {
    return ports.inputs().get(input).fullScalePeakVolts();
  }

  /** A coherent tone of this frequency with a block of about this length. */
  CoherentTone tone(double hertz, double aboutSeconds) {
    return CoherentTone.of(
        hertz, sampleRateHz(), (int) Math.ceil(Math.max(4096, aboutSeconds * sampleRateHz())));
  }

  /**
   * What came back.
   *
   * @param figures of the block after settling; null if there was no tone at all
   * @param trouble why it cannot be trusted; empty if it can
   * @param toneMissing whether the trouble is that the tone is too weak, which more drive may mend
   */
  record Shot(@Nullable ToneFigures figures, String trouble, boolean toneMissing) {
    /** The figures of a shot that is good. */
    Optional<ToneFigures> good() {
      return trouble.isEmpty() ? Optional.ofNullable(figures) : Optional.empty();
    }
  }

  /** Plays the tone until the unit has settled and one block more, and analyses that block. */
  Shot play(CoherentTone tone, double drivePeakVolts, Band band, int highestHarmonic)
      throws InstrumentException {
    int lead = (int) Math.round(LEAD_SECONDS * sampleRateHz());
    int fade = (int) Math.round(FADE_SECONDS * sampleRateHz());
    int length = lead + tone.blockLength() + fade;
    Capture capture = exchange(Fade.inAndOut(tone.samples(drivePeakVolts, length), fade, fade));
    String trouble = trouble(capture);
    if (!trouble.isEmpty()) {
      return new Shot(null, trouble, false);
    }
    double[] block =
        Arrays.copyOfRange(capture.signal().channel(input), lead, lead + tone.blockLength());
    ToneFigures figures;
    try {
      figures = ToneAnalysis.coherent(block, sampleRateHz(), tone.cycles(), band, highestHarmonic);
    } catch (IllegalArgumentException e) {
      return new Shot(null, "no tone came back", true); // not a trace of it: muted, or cut off
    }
    // THD+N above 1/sqrt(2) means that less than half of the power is the tone.
    return figures.thdPlusNoise() > Math.sqrt(0.5)
        ? new Shot(figures, "the tone does not stand out of what else came back", true)
        : new Shot(figures, "", false);
  }

  /**
   * Plays samples on the step's channel and returns what came back on it, with its flags.
   *
   * <p>A capture that has lost samples is taken again a few times, and the operator is told; the
   * last one may still have lost some.
   */
  Capture exchange(double[] volts) throws InstrumentException {
    double[][] channels = new double[ports.outputs().size()][volts.length];
    channels[output] = volts;
    Signal stimulus = Signal.of(sampleRateHz(), channels);
    Capture capture = audio.exchange(stimulus);
    int repeats = 0;
    while (capture.lost() && repeats < MOST_REPEATS) {
      repeats++;
      capture = audio.exchange(stimulus);
    }
    if (repeats > 0) {
      int lost = capture.lost() ? repeats + 1 : repeats;
      bench.notice(
          "samples were lost in "
              + (lost == 1 ? "a capture" : lost + " captures, one after another")
              + (capture.lost() ? "; given up" : "; taken again"));
    }
    return capture;
  }

  /** The step's channel of a capture, volts. */
  double[] input(Capture capture) {
    return capture.signal().channel(input);
  }

  /** Why a capture as such cannot be trusted; empty if it can. */
  String trouble(Capture capture) {
    if (capture.lost()) {
      return "samples were lost in the capture";
    }
    return capture.clipped() ? "the capture reached full scale" : "";
  }
}
