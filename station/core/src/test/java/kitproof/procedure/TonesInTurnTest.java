package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.function.DoubleUnaryOperator;
import kitproof.signal.ResponseFigures;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Many tones need hardly more exchanges than one, and are measured as if each stood alone. */
class TonesInTurnTest {
  private static final String SETTINGS =
      "{power: [1 W, 4 W], frequencies: 80 Hz..20 kHz, band: 20 Hz..45 kHz, harmonics: 3}";

  private final FormulaBench bench = new FormulaBench();
  private int exchanges;
  private double longest;

  private List<Measurement> measured(double cubic) throws Exception {
    bench.sampleRate = 192_000;
    bench.left =
        samples -> {
          exchanges++;
          return FormulaBench.curve(x -> 20 * (x - cubic * x * x * x)).apply(samples);
        };
    return bench.all("distortion-against-frequency", SETTINGS);
  }

  /** One after the other eighteen tones, each with two shots or more, would take forty. */
  @Test
  void allTonesOfAPowerTakeTheRoundsOfOne() throws Exception {
    measured(0.2);
    assertThat(exchanges).isLessThan(26);
  }

  /** What {@code check} holds against the loads is what a run plays at least. */
  @ParameterizedTest
  @CsvSource({"80, 20000, 2, 150", "500, 2000, 1, 150", "1000, 2000, 1, 4000", "2, 3, 1, 50"})
  void theLongestStreamIsAsLongAsIsTold(double low, double high, int perOctave, int listen)
      throws Exception {
    bench.left =
        samples -> {
          longest = Math.max(longest, samples.length / bench.sampleRate);
          return FormulaBench.curve(x -> 20 * x).apply(samples);
        };
    double[] hertz = ResponseFigures.logSpaced(low, high, perOctave);
    DoubleUnaryOperator seconds = hz -> Math.max(listen / 1000.0, 7 / hz);
    bench.all(
        "distortion-against-frequency",
        "{power: 1 W, frequencies: %s Hz..%s Hz, per-octave: %d, listen: %d ms, band: 1 Hz..20 kHz}"
            .formatted(low, high, perOctave, listen));
    double told = TonesInTurn.longest(hertz, seconds).toNanos() / 1e9;
    double most = Math.max(3, told + Math.max(0.4, 6 / low));
    assertThat(longest).isBetween(told, 1.25 * most); // each tone also rises and falls
  }

  /** Closed form: x - k·x³ of amplitude A has a third harmonic of (k·A²/4)/(1 - 3/4·k·A²). */
  @Test
  void eachIsMeasuredAtItsPower() throws Exception {
    double cubic = 0.2;
    for (Measurement one : measured(cubic)) {
      if (one.name().equals("harmonic 3 against frequency")) {
        double volts = Math.sqrt(2 * 8 * (one.conditions().toString().contains("4 W") ? 4 : 1));
        double drive = volts / 20;
        for (int i = 0; i < 50; i++) {
          drive = volts / 20 / (1 - 0.75 * cubic * drive * drive);
        }
        double square = cubic * drive * drive;
        Curve curve = FormulaBench.curve(one.figure());
        assertThat(curve.size()).isGreaterThan(6);
        for (int i = 0; i < curve.size(); i++) {
          assertThat(curve.y(i))
              .isCloseTo(20 * Math.log10(square / 4 / (1 - 0.75 * square)), within(0.05));
        }
      }
    }
  }

  @Test
  void aPowerThatIsNotReachedAtSomeFrequencySaysSo() throws Exception {
    bench.drivePeak = 0.3; // 4 W in 8 ohm are 8 V peak, from 0.4 V
    List<Measurement> all = measured(0);
    assertThat(all)
        .filteredOn(m -> m.conditions().toString().contains("4 W"))
        .isNotEmpty()
        .allMatch(m -> m.figure() instanceof Figure.Invalid);
    assertThat(all)
        .filteredOn(m -> m.name().equals("thd against frequency"))
        .filteredOn(m -> m.conditions().toString().contains("1 W"))
        .isNotEmpty()
        .allMatch(m -> m.figure() instanceof Figure.OfCurve);
  }
}
