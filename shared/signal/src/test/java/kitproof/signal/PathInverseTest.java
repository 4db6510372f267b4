package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Paths of one pole each, run sample by sample in a recursion of the test's own, whose response is
 * known in closed form from its coefficients.
 */
class PathInverseTest {
  private static final double RATE = 96_000;

  private static final int SETTLING = 96_000;

  /** y = b0·x + b1·x₋₁ − a1·y₋₁. */
  private record OnePole(double b0, double b1, double a1) {
    /** High-pass by the bilinear transform. */
    static OnePole highPass(double hertz) {
      double k = Math.tan(Math.PI * hertz / RATE);
      return new OnePole(1 / (1 + k), -1 / (1 + k), (k - 1) / (k + 1));
    }

    static OnePole lowPass(double hertz) {
      double k = Math.tan(Math.PI * hertz / RATE);
      return new OnePole(k / (1 + k), k / (1 + k), (k - 1) / (k + 1));
    }

    double[] through(double[] x) {
      double[] y = new double[x.length];
      for (int i = 0; i < x.length; i++) {
        y[i] = b0 * x[i] + (i == 0 ? 0 : b1 * x[i - 1] - a1 * y[i - 1]);
      }
      return y;
    }

    double[] response(double hertz) {
      double w = 2 * Math.PI * hertz / RATE;
      double nRe = b0 + b1 * Math.cos(w);
      double nIm = -b1 * Math.sin(w);
      double dRe = 1 + a1 * Math.cos(w);
      double dIm = -a1 * Math.sin(w);
      double d = dRe * dRe + dIm * dIm;
      return new double[] {(nRe * dRe + nIm * dIm) / d, (nIm * dRe - nRe * dIm) / d};
    }

    double level(double hertz) {
      double[] z = response(hertz);
      return 20 * Math.log10(Math.max(1e-3, Math.hypot(z[0], z[1])));
    }

    double phase(double hertz) {
      double[] z = response(hertz);
      return Math.toDegrees(Math.atan2(z[1], z[0]));
    }
  }

  private static final OnePole LOW = OnePole.highPass(2);
  private static final OnePole HIGH = OnePole.lowPass(30_000);

  private static double[] path(double[] played) {
    return HIGH.through(LOW.through(played));
  }

  private static double[] undone(double[] captured) {
    return PathInverse.undo(
        PathInverse.undoCoupling(captured, RATE, 2), RATE, HIGH::level, HIGH::phase);
  }

  private static CoherentTone tone(double hertz) {
    return CoherentTone.of(hertz, RATE, 16_384);
  }

  private static double[] played(CoherentTone tone) {
    return new Staircase(tone, SETTLING, new double[] {1}).samples();
  }

  private static ToneFigures figures(double[] samples, CoherentTone tone) {
    double[] block = Arrays.copyOfRange(samples, SETTLING, SETTLING + tone.blockLength());
    return ToneAnalysis.coherent(block, RATE, tone.cycles(), new Band(20, 40_000), 5);
  }

  @ParameterizedTest
  @ValueSource(doubles = {50, 997, 6_000, 19_000})
  void aToneComesBackAtItsLevelAndAsCleanAsItWas(double hertz) {
    CoherentTone tone = tone(hertz);
    double[] played = played(tone);
    double[] captured = path(played);
    ToneFigures before = figures(captured, tone);
    ToneFigures after = figures(undone(captured), tone);
    double lost = LOW.level(tone.frequencyHz()) + HIGH.level(tone.frequencyHz());
    assertThat(Levels.db(before.levelVolts() * Math.sqrt(2))).isCloseTo(lost, within(1e-4));
    assertThat(Levels.db(after.levelVolts() * Math.sqrt(2))).isCloseTo(0, within(1e-4));
    assertThat(Levels.db(after.thdPlusNoise())).isLessThan(-125);
  }

  @Test
  void harmonicsComeBackRelativeToTheTone() {
    CoherentTone tone = tone(6_000);
    double[] played = played(tone);
    double[] bent = Arrays.stream(played).map(x -> x + 0.02 * x * x * x).toArray();
    double third = figures(bent, tone).thd();
    double[] captured = path(bent);
    assertThat(figures(captured, tone).thd()).isLessThan(0.95 * third);
    assertThat(figures(undone(captured), tone).thd()).isCloseTo(third, within(2e-4 * third));
  }

  private static double furthest(double[] one, double[] other) {
    assertThat(one).hasSameSizeAs(other);
    double furthest = 0;
    for (int i = 0; i < one.length; i++) {
      furthest = Math.max(furthest, Math.abs(one[i] - other[i]));
    }
    return furthest;
  }

  @Test
  void aBurstThatFadesComesBackSampleBySample() {
    double[] played = new double[20_000];
    for (int i = 0; i < played.length; i++) {
      double window = Math.pow(Math.sin(Math.PI * i / played.length), 4);
      for (double hertz : new double[] {40, 700, 5_000, 21_000, 33_000}) {
        played[i] += window * Math.sin(2 * Math.PI * hertz * i / RATE + hertz);
      }
    }
    // what undoing the coupling leaves at 40 Hz: arctan(0.1 / 40)
    assertThat(furthest(undone(path(played)), played)).isLessThan(3e-3);
  }

  @Test
  void whatNeedsNoCorrectionIsLeftAsItIs() {
    CoherentTone tone = tone(997);
    double[] played = played(tone);
    double[] undone = PathInverse.undo(played, RATE, f -> 0, f -> 0);
    assertThat(furthest(undone, played)).isLessThan(1e-12);
    assertThat(PathInverse.undo(new double[0], RATE, f -> 0, f -> 0)).isEmpty();
  }
}
