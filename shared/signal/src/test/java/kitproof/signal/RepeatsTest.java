package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Expected values follow from how the tones are made. */
class RepeatsTest {
  private static final double RATE = 48_000;

  private static double[] tone(int n, int cycles) {
    double[] volts = new double[n];
    Arrays.setAll(volts, i -> Math.sin(2 * Math.PI * cycles * i / n));
    return volts;
  }

  @Test
  void aSteadyToneWithHarmonicsAndHumDoesNotChange() {
    double[] volts = tone(9_600, 199);
    double[] plain = volts.clone();
    Arrays.setAll(
        volts,
        i ->
            plain[i]
                + 0.05 * Math.sin(2 * 2 * Math.PI * 199 * i / 9_600)
                + 0.02 * Math.sin(2 * Math.PI * 100 * i / RATE));
    Repeats seen = Repeats.of(volts, 199);
    assertThat(seen.count()).isEqualTo(8);
    assertThat(seen.deviation()).isLessThan(1e-4);
  }

  /** A level that rises evenly by 1 % has stretches whose spread is that of eight even steps. */
  @Test
  void aToneThatRisesIsSeenToRise() {
    double[] plain = tone(9_600, 200);
    double[] volts = plain.clone();
    Arrays.setAll(volts, i -> plain[i] * (1 + 0.01 * i / 9_600));
    double step = 0.01 / 8;
    double expected = step * Math.sqrt(8 * 9 / 12.0);
    assertThat(Repeats.of(volts, 200).deviation()).isCloseTo(expected, within(0.02 * expected));
  }

  /**
   * Of white noise a stretch of m samples leaves 2·1.5/m of its variance on an amplitude of one.
   */
  @Test
  void noiseSpreadsTheStretchesAsMuchAsItShould() {
    Random random = new Random(11);
    double squares = 0;
    int runs = 100;
    for (int r = 0; r < runs; r++) {
      double[] volts = tone(8_000, 160);
      for (int i = 0; i < volts.length; i++) {
        volts[i] += 0.01 * random.nextGaussian();
      }
      squares += Math.pow(Repeats.of(volts, 160).deviation(), 2) / runs;
    }
    double expected = 0.01 * Math.sqrt(2 * 1.5 / 1_000);
    assertThat(Math.sqrt(squares)).isCloseTo(expected, within(0.1 * expected));
  }

  @Test
  void tooFewCyclesHaveNoSpread() {
    assertThat(Repeats.of(tone(4_800, 5), 5)).isEqualTo(Repeats.NONE);
    assertThat(Repeats.of(tone(4_800, 6), 6).count()).isEqualTo(2);
  }

  /** What a sweep shows of noise where it is not: as much as it has of it where it is. */
  @Test
  void aSweepTellsTheNoiseInIt() {
    Sweep sweep = Sweep.synchronised(20, 20_000, 1, RATE);
    double[] played = sweep.samples(1);
    Random random = new Random(12);
    double[] hertz = ResponseFigures.logSpaced(100, 10_000, 6);
    double told = 0;
    double found = 0;
    for (int r = 0; r < 20; r++) {
      double[] seen = Arrays.copyOf(played, played.length + (int) RATE / 4);
      for (int i = 0; i < seen.length; i++) {
        seen[i] += 0.01 * random.nextGaussian();
      }
      SweepResponse response = SweepAnalysis.response(sweep, 1, seen);
      FrequencyResponse noise = response.noise().orElseThrow();
      for (double hz : hertz) {
        told += Math.pow(noise.at(hz).abs(), 2) / 2;
        found += Math.pow(response.at(hz).abs() - 1, 2);
      }
    }
    assertThat(Math.sqrt(told / found)).isBetween(0.85, 1.15);
  }

  @Test
  void aShortSweepHasNoPlaceForIt() {
    Sweep narrow = Sweep.synchronised(500, 1_500, 0.2, RATE);
    assertThat(SweepAnalysis.response(narrow, 1, narrow.samples(1)).noise()).isEmpty();
  }
}
