package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Shapes whose harmonics are known in closed form. Sources of the values: thd_exact_waveforms.csv,
 * thd_clipped_sine.csv and polynomial_products.csv, each with its formula.
 */
class ClosedFormHarmonicsTest {
  @ParameterizedTest
  @CsvSource({"3", "5", "7", "9", "20"})
  @DisplayName(
      "square and triangle, made of their series, have the band-limited THD of the formula")
  void bandLimitedSquareAndTriangle(int highest) {
    double[] square = new double[4096];
    double[] triangle = new double[4096];
    for (int k = 1; k <= 20; k += 2) {
      square = Signals.sum(square, Signals.sine(1.0 / k, 7 * k, 0, 4096, 4096));
      triangle =
          Signals.sum(triangle, Signals.sine(1.0 / (k * k), 7 * k, k / 2 * Math.PI, 4096, 4096));
    }
    Band wide = new Band(0, 2048);
    String upTo = ", harmonics up to " + highest + " only";
    assertThat(ToneAnalysis.coherent(square, 4096, 7, wide, highest).thd())
        .isCloseTo(exact("square wave THD_F" + upTo), within(1e-11));
    assertThat(ToneAnalysis.coherent(triangle, 4096, 7, wide, highest).thd())
        .isCloseTo(exact("triangle wave THD_F" + upTo), within(1e-11));
  }

  @Test
  @DisplayName(
      "sampled square, triangle, sawtooth and pulses: THD+N over everything is THD_R of all")
  void allHarmonicsThroughTheTotal() {
    // One cycle of 2^20 samples: what the sampling folds back is of the order of 1e-6.
    int n = 1 << 20;
    assertThat(rest(n, p -> p < 0.5 ? 1 : -1)).isCloseTo(exact("square wave THD_R"), within(1e-6));
    assertThat(rest(n, p -> 1 - 4 * Math.abs(p - 0.5)))
        .isCloseTo(exact("triangle wave THD_R"), within(1e-6));
    double sawtooth = exact("sawtooth THD_F");
    assertThat(rest(n, p -> p)).isCloseTo(sawtooth / Math.hypot(1, sawtooth), within(1e-5));
    for (String duty : new String[] {"0.1", "0.25", "0.3", "0.4"}) {
      double pulses = exact("pulse train THD_F duty " + duty);
      double share = Double.parseDouble(duty);
      assertThat(rest(n, p -> p < share ? 1 : 0))
          .as(duty)
          .isCloseTo(pulses / Math.hypot(1, pulses), within(1e-5));
    }
  }

  private static double rest(int n, DoubleUnaryOperator shape) {
    double[] x = new double[n];
    for (int i = 0; i < n; i++) {
      x[i] = shape.applyAsDouble((i + 0.5) / n);
    }
    return ToneAnalysis.coherent(x, n, 1, new Band(0, n), 2).thdPlusNoise();
  }

  private static double exact(String quantity) {
    return Reference.value("thd_exact_waveforms.csv", "quantity", quantity);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"0.999", "0.99", "0.98", "0.95", "0.9", "0.85", "0.8", "0.7", "0.6", "0.5", "0.3"})
  void a_clipped_sine_has_the_harmonics_of_its_fourier_series(String level) {
    double c = Double.parseDouble(level);
    int n = 1 << 18;
    double[] sine = Signals.sine(1, 1, 0, n, n);
    double[] clipped = Signals.map(sine, v -> Math.max(-c, Math.min(c, v)));
    ToneFigures figures = ToneAnalysis.coherent(clipped, n, 1, new Band(0, n), 13);
    assertThat(figures.levelVolts() * Math.sqrt(2))
        .isCloseTo(clippedSine(level, "b1"), within(1e-9));
    for (int order = 3; order <= 13; order += 2) {
      assertThat(figures.harmonic(order).orElseThrow().volts() * Math.sqrt(2))
          .as("b%d", order)
          .isCloseTo(Math.abs(clippedSine(level, "b" + order)), within(1e-9));
    }
    double nine = ToneAnalysis.coherent(clipped, n, 1, new Band(0, n), 9).thd();
    assertThat(nine).isCloseTo(clippedSine(level, "THD_F_up_to_9"), within(1e-8));
    assertThat(figures.thdPlusNoise()).isCloseTo(clippedSine(level, "THD_R_all"), within(1e-8));
  }

  @ParameterizedTest
  @ValueSource(strings = {"0.9", "0.7", "0.5"})
  void a_sine_clipped_on_one_side_has_even_harmonics_and_dc(String level) {
    double c = Double.parseDouble(level);
    int n = 1 << 18;
    double[] clipped = Signals.map(Signals.sine(1, 1, 0, n, n), v -> Math.min(c, v));
    ToneFigures figures = ToneAnalysis.coherent(clipped, n, 1, new Band(0, n), 6);
    String start = "one-sided clip (+ only): ";
    assertThat(figures.dcVolts()).isCloseTo(clippedSine(level, start + "DC"), within(1e-9));
    for (int order = 2; order <= 6; order++) {
      assertThat(figures.harmonic(order).orElseThrow().volts() * Math.sqrt(2))
          .isCloseTo(clippedSine(level, start + "amplitude of harmonic " + order), within(1e-9));
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"0.01", "0.02", "0.05", "0.1", "0.2"})
  void crossover_distortion_has_the_harmonics_of_its_fourier_series(String zone) {
    double d = Double.parseDouble(zone);
    int n = 1 << 18;
    double[] x =
        Signals.map(
            Signals.sine(1, 1, 0, n, n), v -> Math.signum(v) * Math.max(Math.abs(v) - d, 0));
    ToneFigures figures = ToneAnalysis.coherent(x, n, 1, new Band(0, n), 7);
    for (int order : new int[] {3, 5, 7}) {
      assertThat(figures.harmonic(order).orElseThrow().volts() * Math.sqrt(2))
          .isCloseTo(
              Math.abs(clippedSine(zone, "crossover dead zone +-d: b" + order)), within(1e-9));
    }
    double all = clippedSine(zone, "crossover dead zone: THD_F_all");
    assertThat(figures.thdPlusNoise()).isCloseTo(all / Math.hypot(1, all), within(1e-8));
  }

  private static double clippedSine(String parameter, String quantity) {
    return Reference.value("thd_clipped_sine.csv", "parameter", parameter, "quantity", quantity);
  }

  @Test
  void polynomial_and_device_curves_have_the_harmonics_of_the_closed_forms() {
    int checked = 0;
    for (Map<String, String> row : Reference.rows("polynomial_products.csv")) {
      if (!row.get("case").startsWith("a2=") && !row.get("case").startsWith("y=")) {
        continue; // of two tones: TwoToneTest
      }
      double expected = Math.abs(Double.parseDouble(row.get("value")));
      double[] drive = new double[4096];
      double peak = number(row.get("case"), "A=");
      for (int n = 0; n < drive.length; n++) {
        drive[n] = peak * Math.cos(2 * Math.PI * 7 * n / drive.length);
      }
      double[] y = Signals.map(drive, curve(row.get("case")));
      ToneFigures figures = ToneAnalysis.coherent(y, 4096, 7, new Band(0, 4096), 200);
      String quantity = row.get("quantity");
      double actual =
          switch (quantity) {
            case "DC" -> figures.dcVolts();
            case "H1" -> figures.levelVolts() * Math.sqrt(2);
            case "THD_F" -> figures.thd();
            case "THD_R" -> figures.thd() / Math.hypot(1, figures.thd());
            case "THD_F_dB" -> -Levels.db(figures.thd());
            case "gain_change_dB" ->
                Math.abs(Levels.db(figures.levelVolts() * Math.sqrt(2) / peak));
            default ->
                figures.harmonic(quantity.charAt(1) - '0').orElseThrow().volts() * Math.sqrt(2);
          };
      assertThat(actual)
          .as("%s", row)
          .isCloseTo(expected, within(Math.max(1e-9 * expected, 1e-13)));
      checked++;
    }
    assertThat(checked).isGreaterThan(100);
  }

  private static DoubleUnaryOperator curve(String name) {
    if (name.startsWith("a2=")) {
      double a2 = number(name, "a2=");
      double a3 = number(name, "a3=");
      return x -> x + a2 * x * x + a3 * x * x * x;
    }
    if (name.startsWith("y=tanh")) {
      return Math::tanh;
    }
    if (name.startsWith("y=e^x-1")) {
      return x -> Math.exp(x) - 1;
    }
    assertThat(name).startsWith("y=max(0,1+x)^1.5");
    return x -> Math.pow(Math.max(0, 1 + x), 1.5);
  }

  private static double number(String text, String after) {
    String rest = text.substring(text.indexOf(after) + after.length());
    return Double.parseDouble(rest.split(" ")[0]);
  }
}
