package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Stairs of a tone, when its level has come to rest, and where their curves cross a level. */
class StaircaseTest {
  private static final double RATE = 96_000;
  private final CoherentTone tone = CoherentTone.of(1000, RATE, 4800);

  @Test
  void everyStairsBlockIsOneCleanToneOfItsLevel() {
    double[] peaks = {0.1, 1, 0, 3};
    Staircase stairs = new Staircase(tone, 2000, peaks);
    double[] samples = stairs.samples();
    assertThat(samples.length).isGreaterThan(4 * stairs.stairLength());
    for (int stair : new int[] {0, 1, 3}) {
      int from = stairs.block(stair);
      double[] block = Arrays.copyOfRange(samples, from, from + tone.blockLength());
      ToneFigures figures =
          ToneAnalysis.coherent(block, RATE, tone.cycles(), new Band(20, 20_000), 5);
      assertThat(figures.levelVolts()).isCloseTo(peaks[stair] / Math.sqrt(2), within(1e-12));
      assertThat(figures.thdPlusNoise()).isLessThan(1e-12);
    }
    int silent = stairs.block(2);
    assertThat(Levels.peak(Arrays.copyOfRange(samples, silent, silent + tone.blockLength())))
        .isZero();
    assertThat(samples[samples.length - 1]).isCloseTo(0, within(1e-3));
    assertThat(Levels.peak(samples)).isLessThanOrEqualTo(3);
  }

  /** Closed form: 1 + a·exp(-t/T) is within d of 1 from T·ln(a/d) on. */
  @Test
  void theTimeToSettleIsThatOfAnExponential() {
    double timeConstant = 0.03;
    double[] samples = new double[48_000];
    for (int i = 0; i < samples.length; i++) {
      double t = i / RATE;
      samples[i] = (1 + 0.2 * Math.exp(-t / timeConstant)) * Math.sin(2 * Math.PI * 1000 * t);
    }
    double expected = timeConstant * Math.log(0.2 / 0.001);
    assertThat(Envelope.of(samples, RATE, 1000).settledSeconds(0.001).orElseThrow())
        .isCloseTo(expected, within(0.005)); // one level lasts 4 ms
  }

  @Test
  void aLevelThatStillMovesHasNotSettledAndNoiseAloneIsAtRest() {
    Random random = new Random(11);
    double[] rising = new double[9600];
    double[] noisy = new double[9600];
    for (int i = 0; i < rising.length; i++) {
      double sine = Math.sin(2 * Math.PI * 1000 * i / RATE);
      rising[i] = (1 + i / 9600.0) * sine;
      noisy[i] = sine + 0.05 * random.nextGaussian();
    }
    assertThat(Envelope.of(rising, RATE, 1000).settledSeconds(0.001)).isEmpty();
    assertThat(Envelope.of(noisy, RATE, 1000).settledSeconds(0.001).orElseThrow()).isZero();
  }

  /** Closed forms: a power law on two logarithmic axes, and a logarithm on one, are exact. */
  @Test
  void crossingsOfAPowerLawAndALogarithmAreExact() {
    double[] x = {0.1, 0.7, 1.5, 3.1, 10};
    double[] cube = Arrays.stream(x).map(v -> v * v * v).toArray();
    assertThat(Crossings.at(x, cube, 2).orElseThrow()).isCloseTo(8, within(1e-11));
    assertThat(Crossings.at(x, cube, 20)).isEmpty();
    double[] log = Arrays.stream(x).map(v -> 5 + Math.log(v)).toArray();
    assertThat(Crossings.rising(x, log, 5 + Math.log(2)).orElseThrow()).isCloseTo(2, within(1e-12));
    assertThat(Crossings.rising(x, log, 50)).isEmpty();
    assertThat(Crossings.rising(x, log, 1e-6)).isEmpty();
  }

  @Test
  void whatFallsBeforeTheMinimumIsNoCrossing() {
    double[] x = {1, 2, 4, 8, 16};
    double[] y = {3, 1, 0.5, 1, 4};
    assertThat(Crossings.rising(x, y, 2).orElseThrow()).isBetween(8.0, 16.0);
    assertThat(Crossings.rising(x, y, 1).orElseThrow()).isCloseTo(8, within(1e-12));
  }
}
