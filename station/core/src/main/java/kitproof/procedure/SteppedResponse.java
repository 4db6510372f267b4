package kitproof.procedure;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.signal.Band;
import kitproof.signal.CoherentTone;
import kitproof.signal.Fade;
import kitproof.signal.Levels;
import kitproof.signal.ResponseFigures;
import kitproof.signal.ToneAnalysis;
import kitproof.signal.ToneFigures;
import kitproof.value.Curve;
import kitproof.value.Unit;

/**
 * A frequency response from tones one after the other in one capture, each with its time to settle
 * and a whole number of cycles: slower than a sweep, and with nothing in common with it.
 */
final class SteppedResponse {
  private static final double LONGEST_SECONDS = 0.4;
  private static final double FADE_SECONDS = 0.01;
  private static final double BLOCK_SECONDS = 0.1;

  /** Cycles in the block, of tones so low that its time is too short. */
  private static final double FEWEST_CYCLES = 5;

  private final ToneBench audio;
  private final double[] hertz;
  private final List<Burst> bursts = new ArrayList<>();
  private int length;

  /** A tone and where its block begins. */
  private record Burst(CoherentTone tone, int start, int block, int end) {}

  /** Tones from low to high, and the reference among them. */
  SteppedResponse(
      ToneBench audio, double low, double high, int pointsPerOctave, double referenceHertz) {
    this.audio = audio;
    double[] spaced = ResponseFigures.logSpaced(low, high, pointsPerOctave);
    hertz = Arrays.copyOf(spaced, spaced.length + 1);
    hertz[spaced.length] = referenceHertz;
    Arrays.sort(hertz);
  }

  /** Lays the tones out, each with this time to settle or what its frequency needs. */
  private void plan(double settleSeconds) {
    bursts.clear();
    int fade = samples(FADE_SECONDS);
    int at = 0;
    double before = 0;
    for (double hz : hertz) {
      CoherentTone tone =
          CoherentTone.of(
              hz, audio.sampleRateHz(), samples(Math.max(BLOCK_SECONDS, FEWEST_CYCLES / hz)));
      if (tone.frequencyHz() <= before * 1.0001) {
        continue; // the reference is one of the others
      }
      before = tone.frequencyHz();
      int block = at + samples(Math.max(settleSeconds, audio.settle().seconds(hz)));
      bursts.add(new Burst(tone, at, block, block + tone.blockLength() + fade));
      at = block + tone.blockLength() + fade;
    }
    length = at;
  }

  private int samples(double seconds) {
    return (int) Math.ceil(seconds * audio.sampleRateHz());
  }

  /** All tones, with this amplitude. */
  private double[] stimulus(double peakVolts) {
    double[] samples = new double[length];
    int fade = samples(FADE_SECONDS);
    for (Burst burst : bursts) {
      double[] tone = burst.tone.samples(peakVolts, burst.end - burst.start);
      System.arraycopy(
          Fade.inAndOut(tone, fade, fade), 0, samples, burst.start, burst.end - burst.start);
    }
    return samples;
  }

  /**
   * Plays them on all channels at once, each with its own drive, until each settles in its time.
   */
  Capture play(List<Levelling.Level> levels) throws InstrumentException {
    double settle = 0;
    while (true) {
      plan(settle);
      Capture capture =
          audio.exchange(levels.stream().map(level -> stimulus(level.drivePeakVolts())).toList());
      audio.settled(length - bursts.stream().mapToInt(burst -> burst.tone.blockLength()).sum());
      if (settle >= LONGEST_SECONDS || settled(capture, levels)) {
        return capture;
      }
      settle = Math.min(LONGEST_SECONDS, Math.max(2 * settle, LONGEST_SECONDS / 4));
    }
  }

  private boolean settled(Capture capture, List<Levelling.Level> levels) {
    for (int c = 0; c < levels.size(); c++) {
      if (!levels.get(c).found()) {
        continue;
      }
      double[] volts = audio.input(capture, audio.channels().get(c));
      for (Burst burst : bursts) {
        int heard = burst.block + burst.tone.blockLength() - burst.start;
        double took =
            Settle.took(audio, volts, burst.start, heard, burst.tone.frequencyHz(), Settle.AT_REST);
        if (took * audio.sampleRateHz() > burst.block - burst.start) {
          return false;
        }
      }
    }
    return true;
  }

  /**
   * What came back of each tone, by rising frequency.
   *
   * @throws IllegalArgumentException if one of the tones did not come back
   */
  List<ToneFigures> tones(Capture capture, ToneBench.Channel channel) {
    double[] captured = audio.input(capture, channel);
    Band band = new Band(0, audio.sampleRateHz() / 2);
    List<ToneFigures> found = new ArrayList<>();
    for (Burst burst : bursts) {
      CoherentTone tone = burst.tone;
      double[] block = Arrays.copyOfRange(captured, burst.block, burst.block + tone.blockLength());
      found.add(ToneAnalysis.coherent(block, audio.sampleRateHz(), tone.cycles(), band, 1));
    }
    return found;
  }

  /** Output over drive in dB. */
  static Curve response(List<ToneFigures> tones, double drivePeakVolts) {
    double[] at = new double[tones.size()];
    double[] db = new double[tones.size()];
    for (int i = 0; i < at.length; i++) {
      at[i] = tones.get(i).frequencyHz();
      db[i] = Levels.db(tones.get(i).levelVolts() * Math.sqrt(2) / drivePeakVolts);
    }
    return Curve.of(Unit.HERTZ, at, Unit.DECIBEL, db);
  }
}
