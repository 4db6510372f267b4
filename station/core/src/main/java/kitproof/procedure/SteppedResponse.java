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
import kitproof.value.Curve;
import kitproof.value.Unit;

/**
 * A frequency response from tones one after the other in one capture, each with its time to settle
 * and a whole number of cycles: slower than a sweep, and with nothing in common with it.
 */
final class SteppedResponse {
  private static final double SETTLE_SECONDS = 0.1;
  private static final double FADE_SECONDS = 0.01;
  private static final double BLOCK_SECONDS = 0.1;

  /** Cycles for settling and in the block, of tones so low that their times are too short. */
  private static final double FEWEST_CYCLES = 5;

  private final ToneBench audio;
  private final List<Burst> bursts = new ArrayList<>();
  private final int length;

  /** A tone and where its block begins. */
  private record Burst(CoherentTone tone, int start, int block, int end) {}

  /** Plans the tones from low to high, and the reference among them. */
  SteppedResponse(
      ToneBench audio, double low, double high, int pointsPerOctave, double referenceHertz) {
    this.audio = audio;
    double[] hertz = ResponseFigures.logSpaced(low, high, pointsPerOctave);
    double[] all = Arrays.copyOf(hertz, hertz.length + 1);
    all[hertz.length] = referenceHertz;
    Arrays.sort(all);
    double rate = audio.sampleRateHz();
    int fade = samples(FADE_SECONDS);
    int at = 0;
    double before = 0;
    for (double hz : all) {
      CoherentTone tone =
          CoherentTone.of(hz, rate, samples(Math.max(BLOCK_SECONDS, FEWEST_CYCLES / hz)));
      if (tone.frequencyHz() <= before * 1.0001) {
        continue; // the reference is one of the others
      }
      before = tone.frequencyHz();
      int block = at + samples(Math.max(SETTLE_SECONDS, FEWEST_CYCLES / hz));
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

  /** Plays them on all channels at once, each with its own drive. */
  Capture play(List<Levelling.Level> levels) throws InstrumentException {
    Capture capture =
        audio.exchange(levels.stream().map(level -> stimulus(level.drivePeakVolts())).toList());
    audio.settled(length - bursts.stream().mapToInt(burst -> burst.tone.blockLength()).sum());
    return capture;
  }

  /**
   * Output over drive in dB.
   *
   * @throws IllegalArgumentException if one of the tones did not come back
   */
  Curve response(Capture capture, ToneBench.Channel channel, double drivePeakVolts) {
    double[] captured = audio.input(capture, channel);
    double[] hertz = new double[bursts.size()];
    double[] db = new double[bursts.size()];
    Band band = new Band(0, audio.sampleRateHz() / 2);
    for (int i = 0; i < hertz.length; i++) {
      CoherentTone tone = bursts.get(i).tone;
      double[] block =
          Arrays.copyOfRange(
              captured, bursts.get(i).block, bursts.get(i).block + tone.blockLength());
      double volts =
          ToneAnalysis.coherent(block, audio.sampleRateHz(), tone.cycles(), band, 1).levelVolts();
      hertz[i] = tone.frequencyHz();
      db[i] = Levels.db(volts * Math.sqrt(2) / drivePeakVolts);
    }
    return Curve.of(Unit.HERTZ, hertz, Unit.DECIBEL, db);
  }
}
