package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import kitproof.signal.SineFit;

/**
 * Low tones of one period, played all at once: what a sweep of some seconds is too short for. The
 * first part of what is played is there to settle; then come two blocks that hold whole cycles of
 * every tone, and their difference shows how far the path had settled.
 */
final class LowTones {
  private static final double BLOCK_SECONDS = 4;
  private static final double SETTLE_SECONDS = 4;

  private final double rate;
  private final int block;
  private final int settle;
  private final double[] hertz;
  private final double[] samples;

  /**
   * Tones near these points, moved to whole cycles of the block; two at one frequency become one.
   *
   * @param points Hz, rising
   * @param peakVolts of all together
   */
  LowTones(double[] points, double rate, double peakVolts) {
    this.rate = rate;
    this.block = (int) Math.round(BLOCK_SECONDS * rate);
    this.settle = (int) Math.round(SETTLE_SECONDS * rate);
    double step = rate / block;
    List<Double> kept = new ArrayList<>();
    for (double point : points) {
      double near = Math.max(1, Math.round(point / step)) * step;
      if (kept.isEmpty() || near > kept.get(kept.size() - 1)) {
        kept.add(near);
      }
    }
    this.hertz = kept.stream().mapToDouble(Double::doubleValue).toArray();
    this.samples = new double[settle + 2 * block];
    double highest = 0;
    for (int i = 0; i < samples.length; i++) {
      samples[i] = i < block ? sum(i) : samples[i - block];
      highest = Math.max(highest, Math.abs(samples[i]));
    }
    for (int i = 0; i < samples.length; i++) {
      samples[i] *= peakVolts / highest;
    }
  }

  /** Phases that keep the peak of many tones low: minus pi times the number squared, over count. */
  private double sum(int at) {
    double sum = 0;
    for (int k = 0; k < hertz.length; k++) {
      double phase = -Math.PI * k * k / hertz.length;
      sum += Math.sin(2 * Math.PI * hertz[k] * at / rate + phase);
    }
    return sum;
  }

  /** The frequencies, rising. */
  double[] hertz() {
    return hertz.clone();
  }

  /** What is played. */
  double[] samples() {
    return samples.clone();
  }

  /**
   * What came back of one tone.
   *
   * @param level over what was played, dB
   * @param phase over what was played, degrees, from -180 to 180
   * @param unsettled by how much the level of the second block differs from that of the first, dB
   * @param turning the same of the phase, degrees
   */
  record Found(double level, double phase, double unsettled, double turning) {}

  /** What came back of each tone. */
  List<Found> of(double[] captured) {
    List<Found> found = new ArrayList<>();
    for (double at : hertz) {
      SineFit played = fit(samples, settle, at);
      SineFit first = fit(captured, settle, at);
      SineFit second = fit(captured, settle + block, at);
      double one = 20 * Math.log10(first.peakVolts() / played.peakVolts());
      double two = 20 * Math.log10(second.peakVolts() / played.peakVolts());
      double phase = degrees(first.phaseRadians() - played.phaseRadians());
      double turning = degrees(second.phaseRadians() - first.phaseRadians());
      found.add(new Found((one + two) / 2, phase + turning / 2, two - one, turning));
    }
    return found;
  }

  private static double degrees(double radians) {
    return Math.toDegrees(Math.IEEEremainder(radians, 2 * Math.PI));
  }

  /** The part of one tone in a block: over whole cycles of all tones no other one shows in it. */
  private SineFit fit(double[] volts, int from, double at) {
    double cosine = 0;
    double sine = 0;
    for (int i = 0; i < block; i++) {
      double angle = 2 * Math.PI * at * i / rate;
      cosine += volts[from + i] * Math.cos(angle);
      sine += volts[from + i] * Math.sin(angle);
    }
    return new SineFit(at, 2 * cosine / block, 2 * sine / block, 0, 0);
  }
}
