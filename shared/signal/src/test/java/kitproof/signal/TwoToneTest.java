package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class TwoToneTest {
  private static final String FILE = "polynomial_products.csv";
  private static final String MODULATION = "SMPTE 60/7000 4:1 A=0.8 B=0.2 ";
  private static final String DIFFERENCE = "DFD 19k/20k 1:1 A=0.5 B=0.5 ";

  /**
   * Source of the values: polynomial_products.csv, closed forms of a cubic (SciPy). Of which
   * products a distortion is made: IEC 60268-3, the sum of a pair of sidebands over the high tone
   * and of difference products over twice the output; SMPTE RP 120, their rms (both from memory).
   */
  @ParameterizedTest
  @CsvSource({
    "a2=0.01 a3=0.02, 0.01, 0.02",
    "a2=0.05 a3=-0.04, 0.05, -0.04",
    "a2=0.1 a3=0.05, 0.1, 0.05",
  })
  void products_of_known_curves(String curve, double a2, double a3) {
    IntermodulationFigures m = bent(TwoTone.of(60, 7000, 96e3, 48000), 0.8, 0.2, a2, a3);
    String name = MODULATION + curve;
    assertThat(m.lowVolts() * Math.sqrt(2)).isCloseTo(value(name, "U(f1)"), within(1e-9));
    assertThat(m.highVolts() * Math.sqrt(2)).isCloseTo(value(name, "U(f2)"), within(1e-9));
    assertProduct(m, -1, 1, value(name, "U(f2-f1)"));
    assertProduct(m, 1, 1, value(name, "U(f2+f1)"));
    assertProduct(m, -2, 1, value(name, "U(f2-2f1)"));
    assertProduct(m, 2, 1, value(name, "U(f2+2f1)"));
    assertNear(m.secondOrderModulation(), value(name, "modulation d2 (IEC, arithmetic pair sum)"));
    assertNear(m.thirdOrderModulation(), value(name, "modulation d3 (IEC)"));
    assertNear(m.modulation(), value(name, "SMPTE as AM of carrier: sqrt((2 s2)^2+(2 s3)^2)/U2"));

    IntermodulationFigures d = bent(TwoTone.of(19e3, 20e3, 96e3, 48000), 0.5, 0.5, a2, a3);
    name = DIFFERENCE + curve;
    assertProduct(d, -1, 1, value(name, "U(f2-f1)=1 kHz"));
    assertProduct(d, 2, -1, value(name, "U(2f1-f2)=18 kHz"));
    assertProduct(d, -1, 2, value(name, "U(2f2-f1)=21 kHz"));
    assertThat(d.secondOrderDifference())
        .isCloseTo(value(name, "DFD d2 = U(f2-f1)/(2 U(f2))"), within(1e-9));
    assertNear(d.thirdOrderDifference(), value(name, "DFD d3 = (U(2f2-f1)+U(2f1-f2))/(2 U(f2))"));
  }

  private static IntermodulationFigures bent(
      TwoTone tones, double low, double high, double a2, double a3) {
    double[] x =
        Signals.sum(
            Signals.sine(low, tones.lowHz(), 0.7, 96e3, tones.blockLength()),
            Signals.sine(high, tones.highHz(), -0.4, 96e3, tones.blockLength()));
    return tones.analyse(Signals.map(x, v -> v + a2 * v * v + a3 * v * v * v));
  }

  private static double value(String name, String quantity) {
    return Reference.value(FILE, "kind", "two-tone", "case", name, "quantity", quantity);
  }

  private static void assertProduct(
      IntermodulationFigures figures, int low, int high, double peak) {
    assertThat(figures.productVolts(low, high).orElseThrow() * Math.sqrt(2))
        .isCloseTo(peak, within(1e-9));
  }

  private static void assertNear(OptionalDouble actual, double expected) {
    assertThat(actual.orElseThrow()).isCloseTo(expected, within(1e-9));
  }

  /** A fact of the trade (common practice, no source): 19 and 20 kHz are read at 18, 21, 1 kHz. */
  @ParameterizedTest
  @ValueSource(doubles = {44.1e3, 48e3, 88.2e3, 96e3, 176.4e3, 192e3})
  void tones_fall_on_bins_at_their_own_frequencies_at_every_usual_rate(double rate) {
    TwoTone tones = TwoTone.of(19e3, 20e3, rate, (int) (rate / 4));
    assertThat(tones.lowHz()).isCloseTo(19e3, within(1e-6));
    assertThat(tones.highHz()).isCloseTo(20e3, within(1e-6));
    IntermodulationFigures figures = tones.analyse(tones.samples(0.5, 0.5, tones.blockLength()));
    assertThat(figures.productHz(-1, 1)).isCloseTo(1000, within(1e-6));
    assertThat(figures.productHz(2, -1)).isCloseTo(18e3, within(1e-6));
    assertThat(figures.productHz(-1, 2)).isCloseTo(21e3, within(1e-6));
    assertThat(figures.lowVolts()).isCloseTo(0.5 / Math.sqrt(2), within(1e-9));
    assertThat(figures.secondOrderDifference()).isLessThan(1e-9);
    assertThat(TwoTone.of(60, 7000, rate, (int) (rate / 4)).lowHz()).isCloseTo(60, within(1e-6));
  }

  @Test
  void the_stimulus_repeats_without_a_seam_and_its_peak_is_the_sum() {
    TwoTone tones = TwoTone.of(60, 7000, 48e3, 24000);
    double[] samples = tones.samples(0.8, 0.2, 3 * tones.blockLength());
    for (int n = 0; n < samples.length; n += 977) {
      assertThat(samples[n])
          .isCloseTo(
              0.8 * Math.sin(2 * Math.PI * 60 * n / 48e3)
                  + 0.2 * Math.sin(2 * Math.PI * 7000 * n / 48e3),
              within(1e-9));
    }
    assertThat(Levels.peak(samples)).isBetween(0.99, 1.0000001);
    IntermodulationFigures figures =
        tones.analyse(java.util.Arrays.copyOf(samples, tones.blockLength()));
    assertThat(figures.equivalentSineVolts()).isCloseTo(1 / Math.sqrt(2), within(1e-9));
  }

  @Test
  void products_beyond_half_the_rate_are_missing_not_folded() {
    TwoTone tones = TwoTone.of(19e3, 20e3, 41e3, 8200);
    IntermodulationFigures figures = tones.analyse(tones.samples(0.5, 0.5, tones.blockLength()));
    assertThat(figures.productVolts(-1, 2)).isEmpty();
    assertThat(figures.thirdOrderDifference()).isEmpty();
    assertThat(figures.productVolts(2, -1)).isPresent();
  }

  @Test
  void what_cannot_be_analysed_is_refused_with_the_reason() {
    for (double[] pair : List.of(new double[] {20e3, 19e3}, new double[] {19e3, 25e3})) {
      assertThatIllegalArgumentException()
          .isThrownBy(() -> TwoTone.of(pair[0], pair[1], 48e3, 4800))
          .withMessageContaining("4800 samples");
    }
    assertThatIllegalArgumentException().isThrownBy(() -> TwoTone.of(60, 7000, 48e3, 480));
    TwoTone tones = TwoTone.of(19e3, 20e3, 48e3, 4800);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> tones.analyse(new double[4799]))
        .withMessageContaining("4799");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> tones.analyse(new double[4800]))
        .withMessageContaining("no tones");
  }
}
