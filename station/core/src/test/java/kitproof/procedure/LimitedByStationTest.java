package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.UnaryOperator;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Every result of distortion or noise says so where the station's own residual limits it, and says
 * nothing where the unit is far worse.
 */
class LimitedByStationTest {
  /** Of full scale: a station as bad as its unit is good. */
  private static final StationResidual POOR = new StationResidual(1e-4, 1e-4, 1e-6);

  private final FormulaBench bench = new FormulaBench();

  /** Bends by this much, and hisses and hums with it, of the inputs' full scale of 100 V. */
  private UnaryOperator<double[]> unit(double bad) {
    return samples -> {
      Random random = new Random(7);
      double[] out = new double[samples.length];
      for (int n = 0; n < out.length; n++) {
        double y = 20 * samples[n];
        double t = n / bench.sampleRate;
        double hum = 0;
        for (int order = 1; order <= 6; order++) {
          hum += Math.sin(2 * Math.PI * 50 * order * t);
        }
        out[n] =
            y
                + bad * (y * y + y * y * y) / 5
                + bad * 50 * random.nextGaussian()
                + bad * 5 * hum
                + bad * 5 * Math.sin(2 * Math.PI * 17_321 * t);
      }
      return out;
    };
  }

  /** Its converters are good and its input hisses: 20 Hz to 20 kHz of it, 70 mV. */
  private static final StationResidual NOISY = new StationResidual(1e-9, 1e-3, 1e-9);

  private Set<String> limited(String procedure, String settings, double bad) throws Exception {
    return limited(procedure, settings, bad, POOR);
  }

  private Set<String> limited(
      String procedure, String settings, double bad, StationResidual station) throws Exception {
    bench.sampleRate = 96_000;
    bench.left = unit(bad);
    bench.residual = station;
    bench.conditions = Conditions.of("channel", "left");
    bench.load = Quantity.of(8, Unit.OHM);
    Set<String> names = new TreeSet<>();
    List<Measurement> all = bench.all(procedure, settings);
    for (Measurement one : all) {
      if (!(one.figure() instanceof Figure.Invalid)
          && one.note().contains("limited by the station")) {
        names.add(one.name());
      }
    }
    return names;
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = ';',
      value = {
        "distortion; {power: 1 W, harmonics: 3}; thd,thd+n,harmonic 2,harmonic 3",
        "distortion-against-power; {powers: 0.5 W..2 W, harmonics: 3};"
            + " thd against power,thd+n against power,harmonic 2 against power,harmonic 3 against"
            + " power",
        "distortion-against-frequency; {power: 1 W, frequencies: 500 Hz..2 kHz, harmonics: 3};"
            + " thd against frequency,thd+n against frequency,harmonic 2 against"
            + " frequency,harmonic 3 against frequency",
        "difference-frequency-distortion; {power: 1 W}; difference-frequency distortion"
            + " 2,difference-frequency distortion 3,product f2-f1,product 2f1-f2,product 2f2-f1",
        "modulation-distortion; {power: 1 W}; modulation distortion,modulation distortion"
            + " 2,modulation distortion 3,sideband f2-f1,sideband f2+f1,sideband f2-2f1,sideband"
            + " f2+2f1",
        "spectrum; {power: 1 W}; spectrum,harmonic spectrum,residual waveform",
        "hum; {}; hum,hum spectrum,hum 50 Hz",
        "noise; rated: 10 W; noise,signal-to-noise ratio",
        "stability; {power: 1 W}; stray line"
      })
  void itIsSaidOfAGoodUnitAndNotOfABadOne(String procedure, String settings, String names)
      throws Exception {
    assertThat(limited(procedure, settings, 1e-9)).contains(names.split(","));
    Set<String> ofBad = limited(procedure, settings, 0.05);
    if (procedure.equals("spectrum") || procedure.equals("hum")) {
      ofBad.removeIf(name -> name.contains("spectrum")); // between the lines there is little else
    }
    assertThat(ofBad).isEmpty();
  }

  /**
   * Closed form: in 300 ms a line holds a 6000th of that noise's power, 0.9 mV, which is 0.03 % of
   * the 2.83 V of 1 W in 8 ohm, and 0.16 % of a high tone that has a fifth of them.
   */
  @ParameterizedTest
  @CsvSource({"difference-frequency-distortion, 5", "modulation-distortion, 7"})
  void productsOfTwoTonesAreLimitedByItsNoiseToo(String procedure, int results) throws Exception {
    assertThat(limited(procedure, "{power: 1 W}", 1e-9, NOISY)).hasSize(results);
    assertThat(limited(procedure, "{power: 1 W}", 0.05, NOISY)).isEmpty();
    StationResidual quiet = new StationResidual(1e-9, 1e-9, 1e-9);
    assertThat(limited(procedure, "{power: 1 W}", 1e-6, quiet)).isEmpty();
  }
}
