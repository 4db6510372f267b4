package kitproof.procedure;

import java.util.Arrays;
import java.util.List;
import java.util.function.IntFunction;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.Envelope;
import kitproof.signal.Levels;

/**
 * How long a unit gets to settle before what is analysed begins: found from the signal.
 *
 * <p>A tone gets a few of its cycles, and as long as the captures before it in this step took to
 * come to rest, with a margin. Whether that was enough is read off the capture itself: from its
 * block's beginning on, the tone's level must stay as near to its final one as the procedure needs.
 * If it does not, the same is played again with twice the time.
 */
final class Settle {
  /** A level nearer than this to its final one has settled: 0.02 dB. */
  static final double AT_REST = 0.0023;

  /** On the way to another level it is enough to know about where one is. */
  static final double ON_THE_WAY = 0.03;

  /** Direct voltage that still moves less than this part of the tone shows in no waveform. */
  static final double OFFSET_AT_REST = 5e-4;

  private static final double FIRST_SECONDS = 0.05;
  private static final double SHORTEST_SECONDS = 0.03;
  static final double LONGEST_SECONDS = 0.4;
  private static final double MARGIN = 1.5;

  /** Cycles of the tone, those over which it rises included. */
  private static final double FEWEST_CYCLES = 6;

  /** A period of the mains at 50 Hz, and about one at 60 Hz: hum is no slow movement. */
  private static final double MAINS_SECONDS = 0.02;

  private static final double SILENCE_SECONDS = 0.12;

  private double known = FIRST_SECONDS;

  /**
   * What was played and came back.
   *
   * @param samples from the beginning of a stair to its block
   */
  record Played(Capture capture, int samples) {}

  /** Seconds from the beginning of a tone to its block. */
  double seconds(double hz) {
    return Math.max(known, FEWEST_CYCLES / hz);
  }

  /** The most that {@link #seconds} ever comes to. */
  static double longestSeconds(double hz) {
    return Math.max(LONGEST_SECONDS, FEWEST_CYCLES / hz);
  }

  /**
   * Plays stairs of a tone, or a single one, with the time to settle that they need.
   *
   * @param hz the tone, or the fundamental of what repeats
   * @param blockLength samples of a stair after the time to settle
   * @param stairs by channel, how many there are; 0 if it is silent
   * @param within how near to its final level a tone has settled, as a part of it
   * @param stimuli from the samples to settle to what is played on each channel
   */
  Played play(
      ToneBench audio,
      double hz,
      int blockLength,
      int[] stairs,
      double within,
      IntFunction<List<double[]>> stimuli)
      throws InstrumentException {
    return play(audio, hz, blockLength, stairs, within, Double.POSITIVE_INFINITY, stimuli);
  }

  /**
   * The same for what is looked at as a waveform, which direct voltage on its way would bend.
   *
   * @param offset how near to its final value direct voltage has settled, as a part of the tone
   */
  Played play(
      ToneBench audio,
      double hz,
      int blockLength,
      int[] stairs,
      double within,
      double offset,
      IntFunction<List<double[]>> stimuli)
      throws InstrumentException {
    double wanted = seconds(hz);
    while (true) {
      int samples = samples(audio, wanted);
      List<double[]> played = stimuli.apply(samples);
      Capture capture = audio.exchange(played);
      int most = Arrays.stream(stairs).max().orElse(0);
      audio.settled(played.get(0).length - most * blockLength);
      double took = 0;
      for (int c = 0; c < stairs.length; c++) {
        ToneBench.Channel channel = audio.channels().get(c);
        if (audio.trouble(capture, channel).isEmpty()) {
          double[] volts = audio.input(capture, channel);
          for (int k = 0; k < stairs[c]; k++) {
            int from = k * (samples + blockLength);
            int length = samples + blockLength;
            took = Math.max(took, took(audio, volts, from, length, hz, within));
            took = Math.max(took, offsetTook(audio, volts, from, length, hz, offset));
          }
        }
      }
      if (took <= wanted || wanted >= LONGEST_SECONDS) {
        learn(wanted, took);
        return new Played(capture, samples);
      }
      wanted = Math.min(LONGEST_SECONDS, 2 * wanted);
    }
  }

  /** Seconds that a tone took to settle; infinite if it has not. */
  static double took(
      ToneBench audio, double[] volts, int from, int length, double hz, double within) {
    double[] stair = Arrays.copyOfRange(volts, from, from + length);
    return Envelope.of(stair, audio.sampleRateHz(), hz)
        .settledSeconds(within)
        .orElse(Double.POSITIVE_INFINITY);
  }

  private static double offsetTook(
      ToneBench audio, double[] volts, int from, int length, double hz, double within) {
    double rate = audio.sampleRateHz();
    double window = Math.ceil(MAINS_SECONDS * hz) / hz;
    if (Double.isInfinite(within) || length < 4 * window * rate) {
      return 0;
    }
    double[] stair = Arrays.copyOfRange(volts, from, from + length);
    double tone = Levels.rms(Arrays.copyOfRange(stair, length / 2, length));
    return Envelope.ofMeans(stair, rate, window)
        .settledWithin(within * tone)
        .orElse(Double.POSITIVE_INFINITY);
  }

  /** What the next time to settle is found from; it does not fall by more than half at once. */
  void learn(double given, double took) {
    double next = Math.max(given / 2, MARGIN * took);
    known = Math.min(LONGEST_SECONDS, Math.max(SHORTEST_SECONDS, next));
  }

  /**
   * Listens to silence once what the step before has left in the unit has gone: after a while in
   * which means over a mains period moved no more than they scatter.
   */
  static Capture silence(ToneBench audio, int length) throws InstrumentException {
    int probe = samples(audio, SILENCE_SECONDS);
    boolean atRest = false;
    for (int waited = 0; !atRest && waited < LONGEST_SECONDS * audio.sampleRateHz(); ) {
      Capture capture = audio.exchange(new double[probe]);
      audio.settled(probe);
      waited += probe;
      atRest = true;
      for (ToneBench.Channel channel : audio.channels()) {
        Envelope means =
            Envelope.ofMeans(audio.input(capture, channel), audio.sampleRateHz(), MAINS_SECONDS);
        atRest &= means.settledSeconds(AT_REST).orElse(1) < SILENCE_SECONDS / 2;
      }
    }
    return audio.exchange(new double[length]);
  }

  private static int samples(ToneBench audio, double seconds) {
    return (int) Math.ceil(seconds * audio.sampleRateHz());
  }
}
