package kitproof.signal;

import java.util.Map;
import java.util.function.DoubleUnaryOperator;

/** Samples made from formulas, by nothing of the code under test. */
final class Signals {
  private Signals() {}

  /** Peak amplitude, frequency, phase of {@code a·sin(2πft + phase)}. */
  static double[] sine(double peak, double hz, double phase, double rate, int length) {
    double[] x = new double[length];
    for (int n = 0; n < length; n++) {
      x[n] = peak * Math.sin(2 * Math.PI * hz * n / rate + phase);
    }
    return x;
  }

  static double[] sum(double[]... parts) {
    double[] x = new double[parts[0].length];
    for (double[] part : parts) {
      for (int n = 0; n < x.length; n++) {
        x[n] += part[n];
      }
    }
    return x;
  }

  static double[] plus(double[] x, double dc) {
    return map(x, v -> v + dc);
  }

  static double[] map(double[] x, DoubleUnaryOperator curve) {
    double[] y = new double[x.length];
    for (int n = 0; n < x.length; n++) {
      y[n] = curve.applyAsDouble(x[n]);
    }
    return y;
  }

  /**
   * Uniform in -1…1 from the linear congruential generator with Knuth's MMIX constants, the first
   * output first.
   */
  static double[] noise(long seed, double peak, int length) {
    double[] x = new double[length];
    long state = seed;
    for (int n = 0; n < length; n++) {
      state = state * 6364136223846793005L + 1442695040888963407L;
      x[n] = peak * (2 * ((state >>> 11) * 0x1p-53) - 1);
    }
    return x;
  }

  /** One of the signals of waveform_suite.csv: a second at 48 kHz. */
  static double[] suite(String name) {
    double[] x = new double[48000];
    double quant = 0;
    int parts = 0;
    for (Map<String, String> row : Reference.rows("waveform_suite.csv")) {
      if (!row.get("signal").equals(name)) {
        continue;
      }
      parts++;
      double a = Double.parseDouble(row.get("a"));
      switch (row.get("part")) {
        case "tone f a phi" -> {
          double peak = Double.parseDouble(row.get("b"));
          x = sum(x, sine(peak, a, Double.parseDouble(row.get("c")), 48000, x.length));
        }
        case "noise seed amp" ->
            x = sum(x, noise((long) a, Double.parseDouble(row.get("b")), x.length));
        case "dc" -> x = plus(x, a);
        case "quant" -> quant = a;
        default -> throw new IllegalStateException(row.toString());
      }
    }
    if (parts == 0) {
      throw new IllegalStateException("no signal " + name);
    }
    double steps = quant;
    return quant == 0 ? x : map(x, v -> Math.rint(v * steps) / steps);
  }
}
