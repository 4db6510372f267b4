package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.function.Function;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Square waves through networks whose answers to a step are known in closed form. */
class EdgeFiguresTest {
  private static final double RATE = 192e3;

  /** The steady answer of a network, harmonic by harmonic with a plain sum. */
  private static double[] through(SquareWave wave, Function<Complex, Complex> network) {
    int n = wave.period();
    double[] x = wave.samples(1, n);
    double[] y = new double[n];
    for (int k = 1; k < n / 2; k++) {
      Complex line = Complex.ZERO;
      for (int i = 0; i < n; i++) {
        double angle = -2 * Math.PI * ((long) k * i % n) / n;
        line = line.add(new Complex(Math.cos(angle), Math.sin(angle)).multiply(x[i]));
      }
      Complex s = new Complex(0, 2 * Math.PI * k * wave.frequencyHz());
      Complex out = line.multiply(network.apply(s)).multiply(2.0 / n);
      for (int i = 0; i < n; i++) {
        double angle = 2 * Math.PI * ((long) k * i % n) / n;
        y[i] += out.getReal() * Math.cos(angle) - out.getImaginary() * Math.sin(angle);
      }
    }
    return y;
  }

  /** Closed form: 10–90 % in ln 9 / (2π·corner); slopes add as squares (common practice). */
  @ParameterizedTest
  @ValueSource(doubles = {5e3, 10e3, 20e3})
  void a_low_pass_rises_as_its_corner_says_without_overshoot(double corner) {
    SquareWave wave = SquareWave.near(200, RATE);
    double omega = 2 * Math.PI * corner;
    EdgeFigures figures =
        EdgeFigures.of(through(wave, s -> new Complex(omega).divide(s.add(omega))), wave);
    double own = wave.riseSeconds();
    double rise = Math.sqrt(figures.riseSeconds() * figures.riseSeconds() - own * own);
    double expected = Math.log(9) / omega;
    assertThat(rise).isCloseTo(expected, within(0.04 * expected));
    assertThat(figures.overshoot()).isLessThan(0.003);
    assertThat(figures.ringingHz()).isEmpty();
    assertThat(figures.stepVolts()).isCloseTo(2, within(0.01));
    assertThat(figures.sag()).isCloseTo(0, within(1e-3));
  }

  /** Through two poles of this damping. */
  private static EdgeFigures ringing(SquareWave wave, double damping, double f0) {
    double omega = 2 * Math.PI * f0;
    return EdgeFigures.of(
        through(
            wave,
            s ->
                new Complex(omega * omega)
                    .divide(s.multiply(s).add(s.multiply(2 * damping * omega)).add(omega * omega))),
        wave);
  }

  /** Closed form of two poles: overshoot exp(-πζ/√(1-ζ²)), ringing at f₀·√(1-ζ²). */
  @ParameterizedTest
  @CsvSource({"0.2, 4000", "0.4, 4000", "0.5, 3000"})
  void a_resonance_overshoots_and_rings_as_its_damping_says(double damping, double f0) {
    SquareWave wave = SquareWave.near(200, RATE);
    EdgeFigures figures = ringing(wave, damping, f0);
    double root = Math.sqrt(1 - damping * damping);
    assertThat(figures.overshoot()).isCloseTo(Math.exp(-Math.PI * damping / root), within(0.01));
    assertThat(figures.ringingHz().orElseThrow()).isCloseTo(f0 * root, within(0.02 * f0));
  }

  /**
   * Two poles have no sag: closed form, gain 1 at 0 Hz. At 1 kHz the slower ones still ring with a
   * third of their first excursion when the next edge comes.
   */
  @ParameterizedTest
  @CsvSource({"0.1, 6000, 1000", "0.15, 5000, 1000", "0.2, 4000, 1000", "0.2, 9000, 2000"})
  void ringing_that_lasts_is_no_sag(double damping, double f0, double hz) {
    SquareWave wave = SquareWave.near(hz, RATE);
    EdgeFigures figures = ringing(wave, damping, f0);
    assertThat(figures.sag()).isCloseTo(0, within(2e-3));
    assertThat(figures.stepVolts()).isCloseTo(2, within(4e-3));
    assertThat(figures.ringingHz().orElseThrow())
        .isCloseTo(f0 * Math.sqrt(1 - damping * damping), within(0.02 * f0));
  }

  /** Closed form: behind one coupling capacitor the top falls to exp(-π·corner/f) of its start. */
  @ParameterizedTest
  @CsvSource({"2, 50", "8, 50", "1, 20"})
  void a_coupling_capacitor_lets_the_top_sag(double corner, double hz) {
    SquareWave wave = SquareWave.near(hz, 48e3);
    double omega = 2 * Math.PI * corner;
    EdgeFigures figures = EdgeFigures.of(through(wave, s -> s.divide(s.add(omega))), wave);
    double expected = 1 - Math.exp(-Math.PI * corner / wave.frequencyHz());
    assertThat(figures.sag()).isCloseTo(expected, within(0.01 * expected));
    assertThat(figures.overshoot()).isLessThan(0.003);
  }

  @Test
  void delay_polarity_hum_and_direct_voltage_change_nothing() {
    SquareWave wave = SquareWave.near(1000, RATE);
    double omega = 2 * Math.PI * 10e3;
    double[] y = through(wave, s -> new Complex(omega).divide(s.add(omega)));
    EdgeFigures plain = EdgeFigures.of(y, wave);
    int periods = 20;
    double[] other = new double[periods * y.length];
    for (int n = 0; n < other.length; n++) {
      other[n] = 3 - 2 * y[(n + 37) % y.length] + 0.1 * Math.sin(2 * Math.PI * 50 * n / RATE + 0.3);
    }
    EdgeFigures figures = EdgeFigures.of(other, wave);
    assertThat(figures.riseSeconds()).isCloseTo(plain.riseSeconds(), within(1e-8));
    assertThat(figures.stepVolts()).isCloseTo(2 * plain.stepVolts(), within(1e-3));
    assertThat(figures.overshoot()).isCloseTo(plain.overshoot(), within(1e-4));
  }

  @ParameterizedTest
  @ValueSource(doubles = {44.1e3, 48e3, 96e3, 192e3})
  void the_stimulus_itself_is_flat_and_as_steep_as_the_rate_allows(double rate) {
    SquareWave wave = SquareWave.near(1000, rate);
    assertThat(wave.frequencyHz()).isCloseTo(1000, within(10.0));
    EdgeFigures figures = EdgeFigures.of(wave.samples(1, 3 * wave.period()), wave);
    assertThat(figures.overshoot()).isLessThan(0.003);
    assertThat(figures.riseSeconds() * rate).isBetween(1.5, 2.7);
    assertThat(figures.ringingHz()).isEmpty();
    assertThat(figures.sag()).isCloseTo(0, within(1e-3));
    assertThat(Levels.peak(wave.samples(1, wave.period()))).isCloseTo(1, within(0.01));
  }

  @Test
  void what_is_no_square_wave_is_refused_with_the_reason() {
    SquareWave wave = SquareWave.near(1000, 48e3);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> EdgeFigures.of(new double[47], wave))
        .withMessageContaining("47 samples");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> EdgeFigures.of(new double[48], wave))
        .withMessageContaining("no square wave");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> EdgeFigures.of(Signals.sine(1, 3000, 0, 48e3, 480), wave))
        .withMessageContaining("no square wave");
    assertThatIllegalArgumentException().isThrownBy(() -> SquareWave.near(20e3, 48e3));
  }
}
