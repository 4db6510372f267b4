package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import org.junit.jupiter.api.Test;

/** The same figures from programs other than SciPy: crosschecks_other_programs.csv. */
class OtherProgramsTest {
  private static final int N = 1 << 18;

  @Test
  void octave_and_ngspice_agree() {
    SineFit fit =
        SineFit.fourParameter(
            Signals.sum(
                Signals.sine(1, 50.2, 0, 2000, 1000), Signals.sine(0.01, 150.6, 0.5, 2000, 1000)),
            2000,
            50);
    double[] sine = Signals.sine(1, 1, 0, N, N);
    ToneFigures clipped = tone(Signals.map(sine, v -> Math.max(-0.9, Math.min(0.9, v))));
    ToneFigures bent = tone(Signals.map(sine, v -> v + 0.1 * v * v + 0.05 * v * v * v));
    double[] seconds = new double[100];
    double[] volts = new double[100];
    for (int i = 0; i < 100; i++) {
      seconds[i] = i;
      volts[i] = 450 * Math.exp(-i / 22.0);
    }
    DischargeFit discharge = DischargeFit.of(seconds, volts);

    for (Map<String, String> row : Reference.rows("crosschecks_other_programs.csv")) {
      String quantity = row.get("quantity");
      double actual =
          switch (quantity) {
            case "sine fit S3 4-parameter f_Hz" -> fit.frequencyHz();
            case "sine fit S3 4-parameter amplitude" -> fit.peakVolts();
            case "sine fit S3 4-parameter C_offset" -> fit.offset();
            case "discharge 450 V, 100k, 220u: time to 60 V (s)" -> discharge.secondsTo(60);
            case "discharge 450 V, 100k, 220u: V at 10 s" ->
                discharge.initialVolts() * Math.exp(-10 / discharge.timeConstantSeconds());
            case "clipped sine c=0.9 b1" -> clipped.levelVolts() * Math.sqrt(2);
            case "clipped sine c=0.9 b3" -> peak(clipped, 3);
            case "clipped sine c=0.9 THD_F_up_to_9" -> clipped.thd();
            case "clipped sine c=0.9 THD_F_all" ->
                clipped.thdPlusNoise() / Math.sqrt(1 - Math.pow(clipped.thdPlusNoise(), 2));
            case "polynomial a2=.1 a3=.05 A=1 H1" -> bent.levelVolts() * Math.sqrt(2);
            case "polynomial a2=.1 a3=.05 A=1 H2" -> peak(bent, 2);
            case "polynomial a2=.1 a3=.05 A=1 H3" -> peak(bent, 3);
            case "polynomial a2=.1 a3=.05 A=1 DC" -> bent.dcVolts();
            case "polynomial a2=.1 a3=.05 A=1 THD_F" -> bent.thd();
            default -> throw new IllegalStateException(quantity);
          };
      // A circuit simulator steps through time: good for 1e-4. Octave prints twelve digits of
      // which its own integration leaves ten.
      double relative = row.get("program").startsWith("GNU Octave") ? 1e-8 : 1e-4;
      double expected = Double.parseDouble(row.get("value"));
      assertThat(actual)
          .as(quantity)
          .isCloseTo(expected, within(Math.max(relative * Math.abs(expected), 1e-10)));
    }
  }

  private static ToneFigures tone(double[] volts) {
    return ToneAnalysis.coherent(volts, N, 1, new Band(0, N), 9);
  }

  private static double peak(ToneFigures figures, int order) {
    return figures.harmonic(order).orElseThrow().volts() * Math.sqrt(2);
  }
}
