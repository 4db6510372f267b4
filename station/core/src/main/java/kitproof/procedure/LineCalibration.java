package kitproof.procedure;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import kitproof.driver.AudioInterface;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.CoherentTone;
import kitproof.signal.Staircase;
import kitproof.value.Conditions;
import kitproof.value.Signal;

/**
 * The interface with its outputs straight on its inputs, as calibration finds it: plays on the
 * channel that the step's conditions name, in each of the bench's input ranges in turn.
 *
 * <p>Nothing is corrected here, neither by a calibration nor for the range: volts are those that
 * the interface shows with its attenuators at rest.
 */
final class LineCalibration {
  /** How long a tone is on before anything of it counts. */
  static final double SETTLE_SECONDS = 0.5;

  /** How often what lost samples is taken, at most. */
  static final int MOST_TAKES = 5;

  private final StepBench bench;
  private final ToneBench audio;
  private final ToneBench.Channel channel;

  private LineCalibration(StepBench bench, ToneBench audio) {
    this.bench = bench;
    this.audio = audio;
    this.channel = audio.channels().get(0);
  }

  static LineCalibration of(StepBench bench, String role) throws InstrumentException {
    ToneBench audio = ToneBench.of(bench, role);
    if (audio.channels().size() != 1) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE, "a calibration is of one channel at a time");
    }
    return new LineCalibration(bench, audio);
  }

  ToneBench audio() {
    return audio;
  }

  ToneBench.Channel channel() {
    return channel;
  }

  /** Conditions of a result that holds in a range; an empty range is that of a bench without. */
  static Conditions in(String range) {
    return range.isEmpty() ? Conditions.NONE : Conditions.of("range", range);
  }

  /** The ranges by name as a plan gives them, or the one that has no name. */
  static List<String> ranges(List<String> given) {
    return given.isEmpty() ? List.of("") : given;
  }

  /** Selects a range by name; an empty one is left as it is. */
  void select(String range) throws InstrumentException {
    if (range.isEmpty()) {
      return;
    }
    for (StepBench.InputRange each : bench.inputRanges()) {
      if (each.name().equals(range)) {
        bench.selectInputRange(each);
        return;
      }
    }
    throw new InstrumentException(
        InstrumentException.Kind.RANGE, "the bench has no input range \"" + range + "\"");
  }

  /**
   * What {@link #once} gives, taken again where samples were lost.
   *
   * @throws InstrumentException if samples are lost each time, or the capture reached full scale
   */
  Capture exchange(String role, double[] volts) throws InstrumentException {
    for (int i = 0; i < MOST_TAKES; i++) {
      Capture capture = once(role, volts);
      if (!capture.lost()) {
        if (capture.clipped()) { // a flat top is the interface's limit, not its error
          throw clipped();
        }
        return capture;
      }
    }
    throw lost();
  }

  static InstrumentException lost() {
    return new InstrumentException(
        InstrumentException.Kind.OTHER,
        "samples were lost in " + MOST_TAKES + " captures in a row of a calibration; begin again");
  }

  private static InstrumentException clipped() {
    return new InstrumentException(
        InstrumentException.Kind.OTHER, "the capture reached full scale: choose a lower level");
  }

  /** Plays samples on this channel, silence on the others, with nothing chosen or corrected. */
  Capture once(String role, double[] volts) throws InstrumentException {
    AudioInterface raw = bench.audio(role);
    double[][] outputs = new double[raw.ports().outputs().size()][volts.length];
    outputs[channel.output()] = volts;
    return raw.exchange(Signal.of(audio.sampleRateHz(), outputs));
  }

  /** A tone that begins and ends in silence, and where its block is. */
  record Tone(CoherentTone tone, double[] samples, int block) {
    /** The block of a capture of it. */
    double[] of(double[] captured) {
      return Arrays.copyOfRange(captured, block, block + tone.blockLength());
    }

    /** When its block begins, from the beginning. */
    Duration settled() {
      return Duration.ofNanos(Math.round(block / tone.sampleRateHz() * 1e9));
    }
  }

  /** A tone of this peak with half a second to settle and a block of about a second. */
  Tone tone(double hertz, double peakVolts) {
    return tone(hertz, peakVolts, SETTLE_SECONDS);
  }

  /** The same that is on for so many seconds before its block. */
  Tone tone(double hertz, double peakVolts, double seconds) {
    CoherentTone tone = audio.tone(hertz, 1);
    Staircase stairs =
        new Staircase(tone, (int) (seconds * audio.sampleRateHz()), new double[] {peakVolts});
    return new Tone(tone, stairs.samples(), stairs.block(0));
  }

  /** The mean of values. */
  static double mean(List<Double> values) {
    return values.stream().mapToDouble(Double::doubleValue).average().orElseThrow();
  }

  /** Standard deviation of single values, at least two. */
  static double deviation(List<Double> values) {
    double mean = mean(values);
    double sum = 0;
    for (double value : values) {
      sum += (value - mean) * (value - mean);
    }
    return Math.sqrt(sum / (values.size() - 1));
  }

  /** An empty list that grows. */
  static List<Double> values() {
    return new ArrayList<>();
  }
}
