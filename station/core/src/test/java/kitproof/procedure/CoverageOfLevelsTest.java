package kitproof.procedure;

import static kitproof.procedure.DrawnBench.FLAT;
import static kitproof.procedure.DrawnBench.GAIN;
import static kitproof.procedure.DrawnBench.LOAD;
import static kitproof.procedure.DrawnBench.between;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.Random;
import java.util.function.UnaryOperator;
import kitproof.signal.Band;
import kitproof.signal.Levels;
import kitproof.signal.NoiseWeighting;
import kitproof.signal.PathInverse;
import kitproof.signal.QuasiPeakMeter;
import kitproof.value.Measurement;
import org.junit.jupiter.api.Test;

/** Levels, and what is made of them. See {@link DrawnBench}. */
class CoverageOfLevelsTest {
  @Test
  void aGainHoldsItsTruth() throws Exception {
    Random random = new Random(1);
    DrawnBench.Tally held = new DrawnBench.Tally("gain");
    int draws = 120;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench = DrawnBench.of(FLAT);
      bench.left = DrawnBench.Errors.draw(random, 0.1).around(FormulaBench.curve(x -> GAIN * x));
      var unused = bench.measure("gain", "power: 1 W");
      held.add(bench.measured.get(0), Levels.db(GAIN));
    }
    held.isAsStated();
  }

  /**
   * The error of the path at each of its points, and straight lines between, as it is corrected.
   */
  @Test
  void aResponseHoldsItsTruth() throws Exception {
    Random random = new Random(2);
    DrawnBench.Tally held = new DrawnBench.Tally("frequency response");
    double[] at = {20, 100, 1000, 5000, 20_000};
    double[] u = {0.05, 0.02, 0, 0.03, 0.06};
    for (int d = 0; d < 25; d++) {
      StringBuilder path = new StringBuilder("paths:\n  - channel: left\n    points:\n");
      double[] error = new double[at.length];
      for (int i = 0; i < at.length; i++) {
        path.append(
            "      - {at: " + at[i] + " Hz, level: 0 dB, phase: 0 deg, u: " + u[i] + " dB}\n");
        error[i] = u[i] * random.nextGaussian();
      }
      FormulaBench bench = DrawnBench.of(path.toString());
      DrawnBench.Errors errors = DrawnBench.Errors.draw(random, 0.05);
      bench.left =
          errors.around(
              x ->
                  PathInverse.undo(
                      FormulaBench.curve(v -> GAIN * v).apply(x),
                      48_000,
                      hertz -> -between(at, error, hertz),
                      hertz -> 0));
      var unused =
          bench.measure("frequency-response", "{power: 1 W, band: 20 Hz..20 kHz, sweep: 500 ms}");
      Measurement response = bench.measured.get(0);
      for (int i = 0; i < at.length; i++) {
        if (at[i] != 1000) {
          held.add(response, DrawnBench.index(response, at[i]), 0);
        }
      }
    }
    held.isAsStated();
  }

  /** The output's part in the path is drawn too: volts by themselves are off by it. */
  @Test
  void powerAndSensitivityHoldTheirTruth() throws Exception {
    Random random = new Random(5);
    DrawnBench.Tally power = new DrawnBench.Tally("power at 1 %");
    DrawnBench.Tally input = new DrawnBench.Tally("input sensitivity");
    String path =
        """
        paths:
          - channel: left
            points:
              - {at: 1 Hz, level: -0.06 dB, u: 0.01 dB, phase: 0 deg}
              - {at: 24 kHz, level: -0.06 dB, u: 0.01 dB, phase: 0 deg}
        residuals: [{channel: left, at: 1 kHz, level: 0 dB, thd: -110 dB, noise: -120 dB}]
        """;
    String settings =
        "{powers: 2 W..40 W, rated: 5 W, until: 2 %, per-decade: 16, listen: 20 ms, band: 20 Hz..10 kHz}";
    UnaryOperator<double[]> unit = FormulaBench.curve(x -> 20 * Math.tanh(GAIN * x / 20));
    FormulaBench exact = new FormulaBench();
    exact.sampleRate = 24_000;
    exact.left = unit;
    double volts = 0;
    double sensitivity = 0;
    var unused0 =
        exact.measure(
            "distortion-against-power", settings.replace("per-decade: 16", "per-decade: 50"));
    for (Measurement each : exact.measured) {
      volts =
          each.name().equals("power at 1 %")
              ? Math.sqrt(FormulaBench.number(each.figure()) * 8)
              : volts;
    }
    int draws = 60;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench = DrawnBench.of(path + LOAD);
      bench.sampleRate = 24_000;
      DrawnBench.Errors errors = DrawnBench.Errors.draw(random, 1e-3);
      double share = Math.pow(10, -0.06 * random.nextDouble() / 20);
      double left = Math.pow(10, 0.01 * random.nextGaussian() / 20);
      double load = 8 * (1 + 0.01 * random.nextGaussian());
      UnaryOperator<double[]> behind =
          x -> {
            double[] driven = unit.apply(FormulaBench.curve(v -> v * share).apply(x));
            return FormulaBench.curve(v -> v * left / share).apply(driven);
          };
      bench.left = errors.around(behind);
      var unused = bench.measure("distortion-against-power", settings);
      sensitivity = inputFor(Math.sqrt(5 * load * 2)) / Math.sqrt(2);
      for (Measurement each : bench.measured) {
        if (each.name().equals("power at 1 %")) {
          power.add(each, volts * volts / load);
        } else if (each.name().equals("input sensitivity")) {
          input.add(each, sensitivity);
        }
      }
    }
    power.isAsStated();
    input.isAsStated();
  }

  /** The drive whose output has a fundamental of this peak, by bisection over one cycle. */
  private static double inputFor(double peak) {
    double low = 0;
    double high = 10;
    for (int i = 0; i < 60; i++) {
      double middle = (low + high) / 2;
      double sum = 0;
      for (int k = 0; k < 4096; k++) {
        double sine = Math.sin(2 * Math.PI * k / 4096);
        sum += 20 * Math.tanh(GAIN * middle * sine / 20) * sine / 2048;
      }
      if (sum < peak) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return low;
  }

  /** The station's own noise is as it was calibrated and can only have added. */
  @Test
  void aNoiseHoldsItsTruth() throws Exception {
    Random random = new Random(6);
    DrawnBench.Tally held = new DrawnBench.Tally("noise");
    int draws = 50;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench = DrawnBench.of(FLAT + LOAD + DrawnBench.CLEAN);
      bench.sampleRate = 24_000;
      double noise = 1e-3;
      bench.left = DrawnBench.Errors.draw(random, noise).around(FormulaBench.curve(x -> GAIN * x));
      Measurement found =
          bench.all("noise", "{rated: 10 W, listen: 1 s, band: 20 Hz..10 kHz}").get(0);
      double inBand = noise * Math.sqrt((10_000 - 20) / 12_000.0);
      held.add(found, Levels.db(inBand));
    }
    held.isAsStated();
  }

  /** What the meter reads of the same noise in the long run is the truth. */
  @Test
  void aQuasiPeakNoiseHoldsItsTruth() throws Exception {
    Random random = new Random(16);
    DrawnBench.Tally held = new DrawnBench.Tally("quasi-peak noise");
    double noise = 1e-3;
    Band band = new Band(20, 10_000);
    double[] longer = new double[20 * 24_000];
    Arrays.setAll(longer, i -> noise * random.nextGaussian());
    double read =
        QuasiPeakMeter.volts(NoiseWeighting.ITU_468.applyTo(longer, 24_000, band), 24_000);
    assertThat(read / NoiseWeighting.ITU_468.rms(longer, 24_000, band))
        .isBetween(0.97 * QuasiPeakTrust.OF_NOISE, 1.05 * QuasiPeakTrust.OF_NOISE);
    for (int d = 0; d < 30; d++) {
      FormulaBench bench = DrawnBench.of(FLAT + LOAD + DrawnBench.CLEAN);
      bench.sampleRate = 24_000;
      // What the readings of bursts leave open is drawn with the rest.
      double bursts = Levels.ratio(0.2 * (2 * random.nextDouble() - 1));
      bench.left = DrawnBench.Errors.draw(random, noise).around(FormulaBench.curve(x -> GAIN * x));
      Measurement found =
          bench.all("noise", "{rated: 10 W, listen: 1 s, band: 20 Hz..10 kHz}").get(4);
      held.add(found, Levels.db(read * bursts));
    }
    held.isAsStated();
  }
}
