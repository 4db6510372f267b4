package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Map;
import java.util.function.DoubleFunction;
import kitproof.value.Curve;
import org.apache.commons.math3.complex.Complex;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class ImpedanceTest {
  private static final String FILE = "networks_impedance_power.csv";
  private static final double RATE = 96_000;

  private static DoubleFunction<Complex> always(double volts) {
    return hz -> new Complex(volts);
  }

  /**
   * Source of the values: networks_impedance_power.csv, the two-load formula by SciPy. The method,
   * a change of load with the source's voltage kept: IEC 60268-3 (from memory).
   */
  @ParameterizedTest
  @CsvSource({
    "Zo by two loads U1=8.1@16.0 U2=7.6@8.0, 8.1, 16, 7.6, 8",
    "Zo by two loads U1=8.0@8.0 U2=7.05@4.0, 8.0, 8, 7.05, 4",
  })
  void two_loads_give_the_published_output_impedance(
      String row, double u1, double r1, double u2, double r2) {
    double expected = Reference.value(FILE, "case", row, "quantity", "Zo_ohm");
    double[] hz = {1000};
    Complex found = Impedance.ofSource(hz, always(u1), r1, always(u2), r2).at(1000);
    assertThat(found.getReal()).isCloseTo(expected, within(1e-8));
    assertThat(found.getImaginary()).isZero();
    // Which of the two is the first makes no difference.
    assertThat(Impedance.ofSource(hz, always(u2), r2, always(u1), r1).at(1000).getReal())
        .isCloseTo(expected, within(1e-8));
  }

  /**
   * Source of the values: networks_impedance_power.csv, where the load change begins at no load: an
   * endless first load of the same formula. A damping factor is the nominal load over the output
   * impedance: IEC 60268-3 (from memory).
   */
  @ParameterizedTest
  @CsvSource({"9.2, 8.0", "8.4, 8.0", "2.9, 2.83", "17.9, 12.65"})
  void the_damping_factor_is_the_published_one(String open, String loaded) {
    double expected =
        Reference.value(
            FILE,
            "case",
            "Zo by load change Uo=" + open + " UL=" + loaded + " RL=8.0",
            "quantity",
            "damping_factor");
    Impedance found =
        Impedance.ofSource(
            new double[] {100, 1000},
            always(Double.parseDouble(open)),
            1e12,
            always(Double.parseDouble(loaded)),
            8);
    assertThat(found.dampingFactor(8).y(1)).isCloseTo(expected, within(1e-7 * expected));
  }

  /** Source of the values: networks_impedance_power.csv, R parallel C behind a series resistor. */
  @Test
  void a_series_resistor_gives_the_published_input_impedance() {
    int checked = 0;
    for (Map<String, String> row : Reference.rows(FILE)) {
      if (!row.get("quantity").equals("abs_Zin_true")) {
        continue;
      }
      double[] values =
          Arrays.stream(row.get("case").replaceAll("[^=]*=([^ ]+)", "$1 ").trim().split(" +"))
              .mapToDouble(Double::parseDouble)
              .toArray();
      double hz = Double.parseDouble(row.get("f_Hz"));
      Complex input = Complex.ONE.divide(new Complex(1 / values[0], 2 * Math.PI * hz * values[1]));
      double source = 600;
      Impedance found =
          Impedance.ofInput(
              new double[] {hz},
              f -> input.divide(input.add(source)),
              f -> input.divide(input.add(source + values[2])),
              values[2],
              source);
      double expected = Double.parseDouble(row.get("value"));
      assertThat(found.magnitude().y(0)).isCloseTo(expected, within(1e-6 * expected));
      assertThat(found.phase().y(0)).isCloseTo(Math.toDegrees(input.getArgument()), within(1e-6));
      checked++;
    }
    assertThat(checked).isGreaterThanOrEqualTo(6);
  }

  /**
   * A source of resistance and leakage inductance through sweeps in 24-bit captures with noise: the
   * oracle is the network's own divider under the bilinear transform.
   */
  @ParameterizedTest
  @ValueSource(doubles = {2, 8, 20})
  void two_sweeps_find_damping_factors_to_one_percent(double dampingFactor) {
    double resistance = 8 / dampingFactor;
    double inductance = 15e-6;
    Sweep sweep = Sweep.synchronised(20, 20_000, 2, RATE);
    SweepResponse first = swept(sweep, resistance, inductance, 8, 1);
    SweepResponse second = swept(sweep, resistance, inductance, 6, 2);
    double[] hz = ResponseFigures.logSpaced(20, 20_000, 12);
    Impedance found = Impedance.ofSource(hz, first::at, 8, second::at, 6);
    Curve factors = found.dampingFactor(8);
    for (int i = 0; i < hz.length; i++) {
      Complex source =
          new Complex(resistance, inductance * 2 * RATE * Math.tan(Math.PI * hz[i] / RATE));
      double expected = 8 / source.abs();
      assertThat(factors.y(i)).as("%s Hz", hz[i]).isCloseTo(expected, within(0.01 * expected));
      assertThat(found.phase().y(i))
          .as("%s Hz", hz[i])
          .isCloseTo(Math.toDegrees(source.getArgument()), within(1.0));
    }
  }

  /** An e.m.f. behind R + L into a load, by the bilinear transform; 10 V full scale, 24 bit. */
  private static SweepResponse swept(
      Sweep sweep, double resistance, double inductance, double load, long seed) {
    double[] volts = Arrays.copyOf(sweep.samples(2.83 * Math.sqrt(2)), sweep.length() + 9600);
    double a = 2 * RATE * inductance;
    double total = resistance + load;
    double current = 0;
    double before = 0;
    double[] noise = Signals.noise(seed, 20e-6 * Math.sqrt(3), volts.length);
    for (int n = 0; n < volts.length; n++) {
      current = (volts[n] + before + (a - total) * current) / (a + total);
      before = volts[n];
      double step = 10.0 / (1 << 23);
      volts[n] = Math.rint((current * load + noise[n]) / step) * step;
    }
    return SweepAnalysis.response(sweep, 2.83 * Math.sqrt(2), volts);
  }

  @Test
  void what_gives_no_impedance_is_refused() {
    double[] hz = {100, 1000};
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Impedance.ofSource(hz, always(1), 8, always(1), 8))
        .withMessageContaining("must differ");
    // Voltages in the ratio of the loads: a source of current.
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Impedance.ofSource(hz, always(8), 8, always(6), 6))
        .withMessage("no impedance follows from the voltages at 100.0 Hz");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> Impedance.ofInput(hz, always(1), always(1), 47e3, 0))
        .withMessageContaining("no impedance follows");
    Impedance stiff = Impedance.ofSource(hz, always(1), 8, always(1), 6);
    assertThat(stiff.magnitude().y(0)).isZero();
    assertThatIllegalArgumentException().isThrownBy(() -> stiff.dampingFactor(8));
    assertThatIllegalArgumentException().isThrownBy(() -> stiff.at(99));
    assertThatIllegalArgumentException().isThrownBy(() -> stiff.at(1001));
  }

  @Test
  void between_points_the_impedance_is_on_the_straight_line() {
    Impedance found =
        Impedance.ofSource(
            new double[] {100, 400},
            hz -> new Complex(8 / (8 + hz / 100)),
            8,
            hz -> {
              return new Complex(6 / (6 + hz / 100));
            },
            6);
    assertThat(found.at(100).getReal()).isCloseTo(1, within(1e-9));
    assertThat(found.at(200).getReal()).isCloseTo(2.5, within(1e-9));
    assertThat(found.at(400).getReal()).isCloseTo(4, within(1e-9));
  }
}
