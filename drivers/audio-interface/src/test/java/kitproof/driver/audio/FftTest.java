package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class FftTest {
  @ParameterizedTest
  @DisplayName("Agrees with the defining sum")
  @ValueSource(ints = {1, 2, 8, 64})
  void definition(int n) {
    Random random = new Random(n); // the length is the seed
    double[] re = random.doubles(n, -1, 1).toArray();
    double[] im = random.doubles(n, -1, 1).toArray();
    double[] gotRe = re.clone();
    double[] gotIm = im.clone();
    Fft.transform(gotRe, gotIm);

    for (int k = 0; k < n; k++) {
      double sumRe = 0;
      double sumIm = 0;
      for (int j = 0; j < n; j++) {
        double angle = -2 * Math.PI * j * k / n;
        sumRe += re[j] * Math.cos(angle) - im[j] * Math.sin(angle);
        sumIm += re[j] * Math.sin(angle) + im[j] * Math.cos(angle);
      }
      assertThat(gotRe[k]).isCloseTo(sumRe, within(1e-12 * n));
      assertThat(gotIm[k]).isCloseTo(sumIm, within(1e-12 * n));
    }
  }

  @ParameterizedTest
  @DisplayName("The size is the next power of two")
  @ValueSource(ints = {1, 2, 3, 4, 5, 1_000, 1_024, 1_025})
  void size(int atLeast) {
    int size = Fft.size(atLeast);

    assertThat(Integer.bitCount(size)).isEqualTo(1);
    assertThat(size).isGreaterThanOrEqualTo(atLeast).isLessThan(2 * atLeast);
  }
}
