package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class StrayLineTest {
  private static final double RATE = 96e3;
  private final CoherentTone tone = CoherentTone.of(1000, RATE, 48000);
  private final int n = tone.blockLength();

  private double[] driven() {
    double[] x = Signals.sine(4, tone.frequencyHz(), 0.2, RATE, n);
    double[] bent = Signals.map(x, v -> v + 0.01 * v * v + 0.003 * v * v * v);
    return Signals.sum(bent, Signals.noise(3, 1e-4, n));
  }

  @Test
  void an_oscillation_is_found_with_its_level_wherever_it_lies_between_bins() {
    double[] x = Signals.sum(driven(), Signals.sine(0.02, 38123.4, 0.5, RATE, n));
    StrayLine line = StrayLine.of(x, tone, new Band(2000, 48e3));
    assertThat(line.frequencyHz()).isCloseTo(38123.4, within(RATE / n));
    // Flat top of Heinzel et al. 2002: within 0.004 dB between bins.
    assertThat(Levels.db(line.volts() * Math.sqrt(2) / 0.02)).isCloseTo(0, within(0.02));
    assertThat(line.standsOut()).isTrue();
  }

  @Test
  void harmonics_and_noise_are_none() {
    StrayLine line = StrayLine.of(driven(), tone, new Band(1500, 48e3));
    assertThat(line.standsOut()).isFalse();
    assertThat(line.volts()).isLessThan(1e-5);
    assertThat(line.floorVolts()).isGreaterThan(0);
  }

  @Test
  void a_band_without_room_between_harmonics_is_refused() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> StrayLine.of(driven(), tone, new Band(999, 1001)))
        .withMessageContaining("no line");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> StrayLine.of(new double[10], tone, new Band(20, 20e3)))
        .withMessageContaining("10 samples");
  }
}
