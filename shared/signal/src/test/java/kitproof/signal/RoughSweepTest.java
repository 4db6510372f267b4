package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class RoughSweepTest {
  private static final double RATE = 96_000;
  private final RoughSweep sweep = new RoughSweep(new Band(10, 45_000), 0.25, 0.1, RATE);

  @Test
  void aWireGivesOneEverywhere() {
    RoughSweep.Gains gains = sweep.gains(0.3, sweep.samples(0.3));
    for (double hz : new double[] {10, 33, 1000, 20_000, 45_000}) {
      assertThat(gains.at(hz)).isCloseTo(1, within(1e-9));
    }
  }

  /** |H| = 1/|1 - s² + j s/Q|, s = tan(pi f/rate)/tan(pi c/rate): the bilinear transform. */
  @Test
  void aResonanceShowsAsHighAsItIs() {
    for (double centre : new double[] {15, 400, 30_000}) {
      double q = 4;
      double w = Math.tan(Math.PI * centre / RATE);
      double norm = 1 / (1 + w / q + w * w);
      double b0 = w * w * norm;
      double a1 = 2 * (w * w - 1) * norm;
      double a2 = (1 - w / q + w * w) * norm;
      double[] x = sweep.samples(0.1);
      double[] y = new double[x.length];
      for (int i = 0; i < x.length; i++) {
        double x1 = i > 0 ? x[i - 1] : 0;
        double x2 = i > 1 ? x[i - 2] : 0;
        double y1 = i > 0 ? y[i - 1] : 0;
        double y2 = i > 1 ? y[i - 2] : 0;
        y[i] = b0 * (x[i] + 2 * x1 + x2) - a1 * y1 - a2 * y2;
      }
      RoughSweep.Gains gains = sweep.gains(0.1, y);
      assertThat(gains.at(centre))
          .as("%s Hz", centre)
          .isCloseTo(q, within(0.06 * q)); // half a decibel: the lowest still rings at the end
      assertThat(gains.highestHz()).isCloseTo(centre, within(1.5 + 0.05 * centre));
    }
  }

  @Test
  void itsPlacesReachOverTheBand() {
    RoughSweep.Gains gains = sweep.gains(0.3, sweep.samples(0.6));
    assertThat(gains.hz(0)).isBetween(8.5, 10.0);
    assertThat(gains.hz(gains.size() - 1)).isBetween(45_000.0, 45_001.5);
    for (int i = 0; i < gains.size(); i += 97) {
      assertThat(gains.of(i)).isCloseTo(2, within(1e-9));
      assertThat(gains.at(gains.hz(i))).isCloseTo(gains.of(i), within(1e-9));
      assertThat(gains.smoothed().hz(i)).isEqualTo(gains.hz(i));
    }
  }

  /**
   * Less itself 10 ms later, |H| = 2·|sin(pi·f·10 ms)|: root mean square over many of its periods
   * of 100 Hz sqrt(2), also where it is 0 or 2.
   */
  @Test
  void smoothedIsTheRootMeanSquareOfAThirdOfAnOctave() {
    int delay = (int) (0.01 * RATE);
    double[] x = sweep.samples(0.1);
    double[] y = x.clone();
    for (int i = delay; i < y.length; i++) {
      y[i] -= x[i - delay];
    }
    RoughSweep.Gains gains = sweep.gains(0.1, y);
    assertThat(gains.at(20_000)).isLessThan(0.05);
    assertThat(gains.at(20_050)).isCloseTo(2, within(0.01));
    for (double hz : new double[] {5000, 20_000, 20_050}) {
      assertThat(gains.smoothed().at(hz)).isCloseTo(Math.sqrt(2), within(0.02));
    }
  }

  @Test
  void itStaysWithinItsPeak() {
    for (double sample : sweep.samples(0.5)) {
      assertThat(Math.abs(sample)).isLessThanOrEqualTo(0.5);
    }
  }

  @Test
  void aCaptureOfAnotherLengthIsRefused() {
    assertThatThrownBy(() -> sweep.gains(1, new double[5]))
        .isInstanceOf(IllegalArgumentException.class);
  }
}
