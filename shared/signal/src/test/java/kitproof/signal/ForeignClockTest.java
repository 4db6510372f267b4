package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Locale;
import java.util.stream.Stream;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Captures of a clock that is off by parts per million, with no whole number of periods, a delay
 * and an offset: each figure against its closed form. Tones are formulas at the times at which that
 * clock samples.
 */
class ForeignClockTest {
  /**
   * A recorder.
   *
   * @param ppm by how much its clock is fast
   * @param delay seconds before the recording begins
   * @param dc its offset
   * @param length samples, chosen so that nothing has a whole number of periods
   */
  record Recorder(double rate, double ppm, double delay, double dc, int length) {
    /** The sample's time on the clock that plays. */
    double time(int n) {
      return n / (rate * (1 + ppm * 1e-6)) + delay;
    }

    double[] sine(double peak, double hz) {
      double[] x = new double[length];
      for (int n = 0; n < length; n++) {
        x[n] = peak * Math.sin(2 * Math.PI * hz * time(n));
      }
      return x;
    }

    @Override
    public String toString() {
      return String.format(
          Locale.ROOT, "%.0f/s %+.1f ppm, %.4f s, %+.2f V, %d", rate, ppm, delay, dc, length);
    }
  }

  static Stream<Recorder> recorders() {
    return Stream.of(
        new Recorder(48e3, 200, 0.01234, 0.3, 20_011),
        new Recorder(48e3, -200, 1.7, -0.2, 47_123),
        new Recorder(96e3, 63.7, 0.3333, 0.05, 50_021),
        new Recorder(192e3, -117.3, 0.1, 0, 70_001),
        new Recorder(44.1e3, 12.5, 3.1, -0.5, 31_337));
  }

  private static double value(String name, String quantity) {
    return Reference.value(
        "polynomial_products.csv", "kind", "two-tone", "case", name, "quantity", quantity);
  }

  private static double[] bent(double[] x, double a2, double a3, double dc) {
    return Signals.plus(Signals.map(x, v -> v + a2 * v * v + a3 * v * v * v), dc);
  }

  /** Source: polynomial_products.csv (SciPy). */
  @ParameterizedTest
  @MethodSource("recorders")
  void modulation_distortion(Recorder r) {
    String name = "SMPTE 60/7000 4:1 A=0.8 B=0.2 a2=0.05 a3=-0.04";
    double[] x = bent(Signals.sum(r.sine(0.8, 60), r.sine(0.2, 7000)), 0.05, -0.04, r.dc);
    IntermodulationFigures m = TwoToneCapture.analyse(x, r.rate, 60, 7000);
    assertThat(m.lowVolts() * Math.sqrt(2)).isCloseTo(value(name, "U(f1)"), within(1e-6));
    assertThat(m.highVolts() * Math.sqrt(2)).isCloseTo(value(name, "U(f2)"), within(1e-6));
    double seen = 7000 / (1 + r.ppm * 1e-6);
    assertThat(m.productHz(0, 1)).isCloseTo(seen, within(1e-6 * seen));
    assertThat(m.secondOrderModulation().orElseThrow())
        .isCloseTo(value(name, "modulation d2 (IEC, arithmetic pair sum)"), within(2e-6));
    assertThat(m.thirdOrderModulation().orElseThrow())
        .isCloseTo(value(name, "modulation d3 (IEC)"), within(2e-6));
  }

  /** Source: polynomial_products.csv (SciPy). At 44.1 kHz 2·f2 + f1 folds back, far from others. */
  @ParameterizedTest
  @MethodSource("recorders")
  void difference_frequency_distortion(Recorder r) {
    String name = "DFD 19k/20k 1:1 A=0.5 B=0.5 a2=0.01 a3=0.02";
    double[] x = bent(Signals.sum(r.sine(0.5, 19e3), r.sine(0.5, 20e3)), 0.01, 0.02, r.dc);
    // By the recorder's clock the tones lie up to 4 Hz away; twice that is looked for wrongly.
    IntermodulationFigures d = TwoToneCapture.analyse(x, r.rate, 19_008, 19_992);
    assertThat(d.secondOrderDifference())
        .isCloseTo(value(name, "DFD d2 = U(f2-f1)/(2 U(f2))"), within(2e-6));
    assertThat(d.thirdOrderDifference().orElseThrow())
        .isCloseTo(value(name, "DFD d3 = (U(2f2-f1)+U(2f1-f2))/(2 U(f2))"), within(2e-6));
  }

  @Test
  void a_pair_that_is_not_there_is_refused() {
    Recorder r = new Recorder(48e3, 0, 0, 0, 20_000);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> TwoToneCapture.analyse(new double[20_000], 48e3, 60, 7000))
        .withMessageContaining("no tone");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> TwoToneCapture.analyse(r.sine(1, 60), 48e3, 7000, 60))
        .withMessageContaining("7000.0 Hz and 60.0 Hz");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> TwoToneCapture.analyse(r.sine(1, 60), 48e3, 6, 7000))
        .withMessageContaining("fewer than four cycles of 6.0 Hz");
  }

  /** Closed form of two poles: overshoot exp(-πζ/√(1-ζ²)), ringing at f₀·√(1-ζ²). */
  @ParameterizedTest
  @MethodSource("recorders")
  void a_square_wave_that_rings(Recorder r) {
    double zeta = 0.3;
    // So slow that the stimulus' own slope takes nothing off the overshoot.
    double f0 = r.rate / 64;
    double hz = 1.0037 * f0 / 15;
    double[] x = Signals.plus(square(r, hz, zeta, f0, 0), r.dc);
    SquareWaveCapture found = SquareWaveCapture.of(x, r.rate, f0 / 15);
    double seen = hz / (1 + r.ppm * 1e-6);
    assertThat(found.wave().frequencyHz()).isCloseTo(seen, within(1e-6 * seen));
    EdgeFigures edge = EdgeFigures.of(found.volts(), found.wave());
    double root = Math.sqrt(1 - zeta * zeta);
    assertThat(edge.overshoot()).isCloseTo(Math.exp(-Math.PI * zeta / root), within(0.012));
    assertThat(edge.ringingHz().orElseThrow()).isCloseTo(f0 * root, within(0.02 * f0));
    assertThat(edge.stepVolts()).isCloseTo(2, within(0.01));
  }

  /** Closed form: behind one coupling capacitor the top falls to exp(-π·corner/f) of its start. */
  @ParameterizedTest
  @MethodSource("recorders")
  void a_square_wave_that_sags(Recorder r) {
    double[] x = Signals.plus(square(r, 200.37, 0.7071, 15e3, 8), r.dc);
    SquareWaveCapture found = SquareWaveCapture.of(x, r.rate, 0);
    double expected = 1 - Math.exp(-Math.PI * 8 / 200.37);
    assertThat(EdgeFigures.of(found.volts(), found.wave()).sag())
        .isCloseTo(expected, within(0.01 * expected));
  }

  /** Its harmonics, one by one through two poles and, unless it is 0, one coupling capacitor. */
  private static double[] square(Recorder r, double hz, double zeta, double f0, double corner) {
    double[] x = new double[r.length];
    double end = 0.45 * r.rate;
    double slope = Math.log(0.03) / (end * end);
    for (int k = 1; k * hz < end; k += 2) {
      Complex s = new Complex(0, k * hz / f0);
      Complex gain = Complex.ONE.divide(s.multiply(s).add(s.multiply(2 * zeta)).add(1));
      if (corner > 0) {
        gain = gain.multiply(new Complex(0, k * hz).divide(new Complex(corner, k * hz)));
      }
      double peak = 4 / (Math.PI * k) * Math.exp(slope * k * hz * k * hz) * gain.abs();
      // A pointer turned on from sample to sample, for a sine of each would take too long.
      double step = 2 * Math.PI * k * hz * (r.time(1) - r.time(0));
      double twice = 2 * Math.cos(step);
      double start = 2 * Math.PI * k * hz * r.time(0) + gain.getArgument();
      double before = Math.sin(start - step);
      double now = Math.sin(start);
      for (int n = 0; n < x.length; n++) {
        x[n] += peak * now;
        double next = twice * now - before;
        before = now;
        now = next;
      }
    }
    return x;
  }

  @Test
  void too_little_of_a_square_wave_is_refused() {
    Recorder r = new Recorder(48e3, 0, 0, 0, 800);
    assertThatIllegalArgumentException()
        .isThrownBy(() -> SquareWaveCapture.of(r.sine(1, 200), 48e3, 200))
        .withMessageContaining("800 samples");
  }

  /** Flat top of Heinzel et al. 2002: a line is right within 0.004 dB wherever it lies. */
  @ParameterizedTest
  @MethodSource("recorders")
  void a_stray_line_and_none(Recorder r) {
    double[] driven = bent(r.sine(4, 1000.7), 0.01, 0.003, r.dc);
    double[] noisy = Signals.sum(driven, Signals.noise(3, 1e-4, r.length));
    double seen = 1000.7 / (1 + r.ppm * 1e-6);
    Band band = new Band(2000, r.rate / 2);
    double exactly = ToneAnalysis.fitted(noisy, r.rate, 1000, band, 5).frequencyHz();
    assertThat(exactly).isCloseTo(seen, within(1e-6 * seen));
    assertThat(StrayLine.of(noisy, r.rate, exactly, band).standsOut()).isFalse();
    double[] with = Signals.sum(noisy, r.sine(0.02, 17_543.2));
    StrayLine line = StrayLine.of(with, r.rate, exactly, band);
    assertThat(line.standsOut()).isTrue();
    assertThat(line.frequencyHz()).isCloseTo(17_543.2, within(1.5 * r.rate / r.length + 4));
    assertThat(Levels.db(line.volts() * Math.sqrt(2) / 0.02)).isCloseTo(0, within(0.03));
    assertThatIllegalArgumentException()
        .isThrownBy(() -> StrayLine.of(with, r.rate, 20, band))
        .withMessageContaining("20 cycles");
  }
}
