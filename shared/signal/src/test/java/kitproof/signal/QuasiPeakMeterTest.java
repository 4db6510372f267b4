package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class QuasiPeakMeterTest {

  /**
   * Readings of 5 kHz bursts relative to the steady tone. Source: ITU-R BS.468-4, Annex 1, in
   * weighting_468_quasipeak.csv (there from memory of the recommendation).
   */
  @ParameterizedTest
  @ValueSource(doubles = {48e3, 96e3, 192e3})
  void bursts_read_as_the_recommendation_has_them(double rate) {
    double steady = QuasiPeakMeter.volts(Signals.sine(1, 5000, 0, rate, (int) (3 * rate)), rate);
    int checked = 0;
    for (Map<String, String> row : Reference.rows("weighting_468_quasipeak.csv")) {
      double parameter = Double.parseDouble(row.get("parameter_value"));
      boolean single = row.get("parameter").equals("duration_ms");
      double seconds = single ? 1 : 5;
      double[] tone = Signals.sine(1, 5000, 0, rate, (int) (seconds * rate));
      double on = single ? parameter / 1000 : 0.005;
      double every = single ? seconds : 1 / parameter;
      for (int n = 0; n < tone.length; n++) {
        tone[n] = n / rate % every < on ? tone[n] : 0;
      }
      double percent = 100 * QuasiPeakMeter.volts(tone, rate) / steady;
      assertThat(percent)
          .as(row.get("test") + " " + row.get("parameter_value"))
          .isBetween(
              Double.parseDouble(row.get("lower_limit_percent")),
              Double.parseDouble(row.get("upper_limit_percent")));
      double nominal = Double.parseDouble(row.get("reading_percent"));
      assertThat(Levels.db(percent / nominal)).isCloseTo(0, within(0.2));
      checked++;
    }
    assertThat(checked).isEqualTo(11);
  }

  /** The recommendation's meter shows the rms of a steady 1 kHz sine, and goes by proportion. */
  @Test
  void a_steady_sine_reads_its_rms_and_overload_by_20_decibels_ten_times_as_much() {
    double[] sine = Signals.sine(Math.sqrt(2), 1000, 0.4, 96e3, 3 * 96000);
    assertThat(QuasiPeakMeter.volts(sine, 96e3)).isCloseTo(1, within(0.001));
    double[] ten = Signals.map(sine, x -> 10 * x);
    assertThat(QuasiPeakMeter.volts(ten, 96e3)).isCloseTo(10, within(0.01));
    double[] turned = Signals.map(sine, x -> -x);
    assertThat(QuasiPeakMeter.volts(turned, 96e3)).isCloseTo(1, within(0.001));
    assertThat(QuasiPeakMeter.volts(Arrays.copyOf(new double[1], 1000), 96e3)).isZero();
  }

  @Test
  void white_noise_reads_more_than_its_rms() {
    double[] noise = Signals.noise(5, 1, 2 * 96000);
    double read = QuasiPeakMeter.volts(noise, 96e3) / Levels.rms(noise);
    // Common practice, no source: 468 quasi-peak of noise is some 4 to 5 dB above its rms; uniform
    // noise has lower peaks than the Gaussian kind.
    assertThat(Levels.db(read)).isBetween(1.0, 6.0);
  }

  @Test
  void too_coarse_a_rate_is_refused() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> QuasiPeakMeter.volts(new double[100], 8000))
        .withMessageContaining("20000");
  }
}
