package kitproof.procedure;

import java.util.Arrays;
import kitproof.signal.Sweep;
import kitproof.signal.SweepAnalysis;

/**
 * A sweep with the silence after it, made while its drive is still being found: its samples and
 * what the analysis of every capture of it needs.
 *
 * @param sweep the sweep
 * @param unit its samples with a peak of one volt, and the tail
 */
record ReadySweep(Sweep sweep, Meanwhile<double[]> unit) {
  /**
   * Left to ring out, seconds. What rings long is low, and the sweep has left that far behind when
   * it ends; this is some thousand cycles of where it ends.
   */
  private static final double TAIL_SECONDS = 0.1;

  static ReadySweep of(Sweep sweep) {
    int length = sweep.length() + tail(sweep);
    return new ReadySweep(
        sweep,
        Meanwhile.begin(
            () -> {
              SweepAnalysis.prepare(sweep, length);
              return Arrays.copyOf(sweep.samples(1), length);
            }));
  }

  private static int tail(Sweep sweep) {
    return (int) (TAIL_SECONDS * sweep.sampleRateHz());
  }

  /** Samples of the tail. */
  int tail() {
    return tail(sweep);
  }

  /** Sweep and tail; all silence with a peak of 0. */
  double[] samples(double peakVolts) {
    return ToneBench.scaled(unit.get(), peakVolts);
  }
}
