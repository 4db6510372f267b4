package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import java.util.function.UnaryOperator;
import kitproof.value.Curve;
import kitproof.value.Figure;
import org.junit.jupiter.api.Test;

/** The two methods of a frequency response against each other and against the closed form. */
class SteppedResponseTest {
  private static final double RATE = 96_000;
  private static final double LOW = 12;
  private static final double HIGH = 30_000;
  private static final String BAND = "power: 1 W, band: 10 Hz..40 kHz";

  private final FormulaBench bench = new FormulaBench();

  /** A first-order high-pass and low-pass by the bilinear transform; each run from rest. */
  private static UnaryOperator<double[]> networks() {
    return samples -> {
      double[] through = lowPass(samples, HIGH);
      double[] slow = lowPass(through, LOW);
      for (int i = 0; i < slow.length; i++) {
        through[i] = 20 * (through[i] - slow[i]);
      }
      return through;
    };
  }

  private static double[] lowPass(double[] x, double hz) {
    double k = Math.tan(Math.PI * hz / RATE);
    double[] y = new double[x.length];
    double before = 0;
    for (int n = 0; n < x.length; n++) {
      y[n] = (k * (x[n] + before) + (1 - k) * (n > 0 ? y[n - 1] : 0)) / (1 + k);
      before = x[n];
    }
    return y;
  }

  /** Closed form of the two sections, with the bilinear transform's own axis. */
  private static double db(double hz) {
    double w = Math.tan(Math.PI * hz / RATE);
    double up = Math.tan(Math.PI * LOW / RATE) / w;
    double down = w / Math.tan(Math.PI * HIGH / RATE);
    return -10 * Math.log10((1 + up * up) * (1 + down * down));
  }

  @Test
  void sweepAndSteppedTonesAgreeWithinTwoHundredthsOfADecibel() throws Exception {
    bench.sampleRate = RATE;
    bench.left = networks();
    Map<String, Figure> swept =
        bench.measure("frequency-response", "{" + BAND + ", sweep: 4 s, method: sweep}");
    Map<String, Figure> stepped =
        bench.measure("frequency-response", "{" + BAND + ", method: stepped, per-octave: 6}");
    Curve tones = FormulaBench.curve(stepped.get("frequency response"));
    Curve sweep = FormulaBench.curve(swept.get("frequency response"));
    assertThat(tones.size()).isGreaterThan(70);
    for (int i = 0; i < tones.size(); i++) {
      double hz = tones.x(i);
      assertThat(tones.y(i)).as(hz + " Hz").isCloseTo(db(hz) - db(1000), within(0.005));
      assertThat(at(sweep, hz)).as(hz + " Hz").isCloseTo(tones.y(i), within(0.02));
    }
    for (String corner : new String[] {"lower corner", "upper corner"}) {
      double a = FormulaBench.number(swept.get(corner));
      assertThat(FormulaBench.number(stepped.get(corner))).isCloseTo(a, within(0.005 * a));
    }
  }

  /** A parabola through three neighbours on the logarithmic axis. */
  private static double at(Curve curve, double hz) {
    int i = 1;
    while (i < curve.size() - 2 && curve.x(i) < hz) {
      i++;
    }
    double value = 0;
    for (int j = i - 1; j <= i + 1; j++) {
      double weight = 1;
      for (int k = i - 1; k <= i + 1; k++) {
        if (k != j) {
          weight *= Math.log(hz / curve.x(k)) / Math.log(curve.x(j) / curve.x(k));
        }
      }
      value += weight * curve.y(j);
    }
    return value;
  }

  @Test
  void aSilentUnitYieldsNoSteppedResponse() throws Exception {
    bench.left = FormulaBench.curve(x -> 0);
    assertThat(bench.measure("frequency-response", "{power: 1 W, method: stepped}").values())
        .allSatisfy(
            figure -> assertThat(FormulaBench.reason(figure)).contains("the output is nothing"));
  }
}
