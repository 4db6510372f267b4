package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import org.apache.commons.math3.util.ArithmeticUtils;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class StimulusTest {
  @Nested
  class A_coherent_tone {
    @ParameterizedTest
    @CsvSource({
      // Nearest odd number of cycles that shares no factor with the length.
      "1000, 48000, 48000, 1001",
      "1000, 48000, 65536, 1365",
      "1000, 48000, 32768, 683",
      "20, 48000, 4096, 1",
      "0.1, 48000, 4096, 1",
      "23999, 48000, 4096, 2047",
      "997, 48000, 48000, 997",
      "3000, 48000, 16, 1",
    })
    void has_an_odd_number_of_cycles_without_common_factor(
        double hz, double rate, int length, int cycles) {
      CoherentTone tone = CoherentTone.near(hz, rate, length);
      assertThat(tone.cycles()).isEqualTo(cycles).isOdd();
      assertThat(ArithmeticUtils.gcd(cycles, length)).isEqualTo(1);
      assertThat(tone.frequencyHz()).isCloseTo(cycles * rate / length, within(1e-9));
    }

    @ParameterizedTest
    @CsvSource({
      "10, 96000, 62400, 7",
      "11.22, 96000, 62400, 7",
      "1000, 96000, 62400, 651",
      "45000, 96000, 62400, 29251",
      "23999, 48000, 4096, 2047",
      "20, 48000, 100, 1"
    })
    void keeps_its_frequency_where_the_block_may_give_way(
        double hz, double rate, int about, int cycles) {
      CoherentTone tone = CoherentTone.of(hz, rate, about);
      assertThat(tone.cycles()).isEqualTo(cycles).isOdd();
      assertThat(ArithmeticUtils.gcd(cycles, tone.blockLength())).isEqualTo(1);
      assertThat(tone.frequencyHz() / hz).isCloseTo(1, within(2.0 / tone.blockLength()));
    }

    @Test
    void meets_its_formula_and_repeats_without_a_seam() {
      CoherentTone tone = CoherentTone.near(1000, 48000, 4096);
      double[] samples = tone.samples(2.5, 10000);
      for (int n = 0; n < samples.length; n++) {
        double expected = 2.5 * Math.sin(2 * Math.PI * tone.frequencyHz() * n / 48000);
        assertThat(samples[n]).isCloseTo(expected, within(1e-10));
      }
      assertThat(samples[4096]).isEqualTo(samples[0]);
      assertThat(tone.samples(1, 0)).isEmpty();
    }

    @Test
    void that_cannot_be_is_refused() {
      assertThatIllegalArgumentException().isThrownBy(() -> CoherentTone.near(0, 48000, 4096));
      assertThatIllegalArgumentException()
          .isThrownBy(() -> CoherentTone.near(24000, 48000, 4096))
          .withMessageContaining("24000.0 Hz");
      assertThatIllegalArgumentException().isThrownBy(() -> CoherentTone.near(1000, 48000, 1));
      assertThatIllegalArgumentException().isThrownBy(() -> CoherentTone.of(0, 48000, 4096));
      assertThatIllegalArgumentException().isThrownBy(() -> CoherentTone.of(24000, 48000, 4096));
      assertThatIllegalArgumentException().isThrownBy(() -> CoherentTone.of(1000, 48000, 1));
    }
  }

  @Nested
  class A_fade {
    @Test
    void rises_and_falls_as_a_raised_cosine_and_leaves_the_input_alone() {
      double[] ones = {1, 1, 1, 1, 1, 1, 1, 1, 1};
      double[] faded = Fade.inAndOut(ones, 4, 2);
      assertThat(faded[0]).isZero();
      assertThat(faded[2]).isCloseTo(0.5, within(1e-15));
      assertThat(faded[1] + faded[3]).isCloseTo(1, within(1e-15));
      assertThat(faded[4]).isEqualTo(1);
      assertThat(faded[6]).isEqualTo(1);
      assertThat(faded[7]).isCloseTo(0.5, within(1e-15));
      assertThat(faded[8]).isZero();
      assertThat(ones).containsOnly(1);
      assertThat(Fade.inAndOut(new double[0], 0, 0)).isEmpty();
      assertThatIllegalArgumentException()
          .isThrownBy(() -> Fade.inAndOut(ones, 5, 5))
          .withMessageContaining("5 and 5 of 9");
    }
  }

  @Nested
  class Levels_ {
    /** 1 W in 8 Ω is 2.828 V and in 4 Ω 2 V: V²/R. */
    @Test
    void follow_their_definitions() {
      assertThat(Levels.volts(1, 8)).isCloseTo(2 * Math.sqrt(2), within(1e-15));
      assertThat(Levels.volts(1, 4)).isEqualTo(2);
      assertThat(Levels.watts(2, 4)).isEqualTo(1);
      assertThat(Levels.db(10)).isCloseTo(20, within(1e-12));
      assertThat(Levels.dbv(0.1)).isCloseTo(-20, within(1e-12));
      assertThat(Levels.db(0)).isEqualTo(Double.NEGATIVE_INFINITY);
      assertThat(Levels.ratio(-6)).isCloseTo(0.501187, within(1e-6));
      assertThat(Levels.rms(new double[] {3, -4})).isCloseTo(Math.sqrt(12.5), within(1e-15));
      assertThat(Levels.dc(new double[] {3, -4})).isEqualTo(-0.5);
      assertThat(Levels.peak(new double[] {3, -4})).isEqualTo(4);
      assertThatIllegalArgumentException().isThrownBy(() -> Levels.rms(new double[0]));
      assertThatIllegalArgumentException().isThrownBy(() -> Levels.watts(1, 0));
    }
  }
}
