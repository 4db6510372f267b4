package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import kitproof.signal.ResponseFigures;
import kitproof.value.Conditions;
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
  @CsvSource({"80, 20000, 4, 150", "500, 2000, 1, 150", "1000, 2000, 1, 4000", "2, 3, 1, 50"})
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

  /**
   * A gain that rises by a decibel within some 60 ms above 6 kHz: what is taken too early is told
   * too low, so that the tone then comes to more than its power.
   */
  @Test
  void aToneThatHasNotSettledGetsMoreTime() throws Exception {
    double[] loudest = {0};
    double target = Math.sqrt(2 * 8);
    bench.sampleRate = 96_000;
    bench.left =
        samples -> {
          double pass = 1 - Math.exp(-2 * Math.PI * 6000 / bench.sampleRate);
          double forget = 1 - Math.exp(-1 / (0.06 * bench.sampleRate));
          double k = (Math.pow(10, 1 / 20.0) - 1) / Math.pow(target / 20, 2);
          double low = 0;
          double squares = 0;
          double[] out = new double[samples.length];
          for (int i = 0; i < out.length; i++) {
            low += pass * (samples[i] - low);
            double high = samples[i] - low;
            squares += forget * (2 * high * high - squares);
            out[i] = 20 * samples[i] * (1 + k * squares);
            loudest[0] = Math.max(loudest[0], Math.abs(out[i]));
          }
          longest = Math.max(longest, samples.length / bench.sampleRate);
          return out;
        };
    List<Measurement> all =
        bench.all("distortion-against-frequency", "{power: 1 W, frequencies: 1 kHz..16 kHz}");
    assertThat(loudest[0] / target).isBetween(0.997, 1.003);
    assertThat(all).isNotEmpty().allMatch(m -> m.figure() instanceof Figure.OfCurve);
  }

  /**
   * The left one, in which a hundredth of the gain goes as it reaches 1 W, is there first, while
   * the other, which compresses, is brought up.
   */
  @Test
  void aChannelThatIsThereKeepsItsDrive() throws Exception {
    double cubic = 3;
    double target = Math.sqrt(2 * 8);
    double[] highestDrive = {0};
    int[] after = {0};
    bench.rightLoad = bench.load;
    bench.left =
        samples -> {
          double drive = Arrays.stream(samples).map(Math::abs).max().orElse(0);
          highestDrive[0] = Math.max(highestDrive[0], drive);
          after[0] += after[0] > 0 ? 1 : 0;
          double gain = after[0] > 0 ? 19.8 : 20;
          after[0] = Math.max(after[0], drive > 0.99 * target / 20 ? 1 : 0);
          return FormulaBench.curve(x -> gain * x).apply(samples);
        };
    bench.right = FormulaBench.curve(x -> 20 * (x - cubic * x * x * x));
    bench.conditions = Conditions.of("channel", "both");
    List<Measurement> all =
        bench.all(
            "distortion-against-frequency",
            "{power: [250 mW, 1 W], frequencies: 500 Hz..4 kHz, harmonics: 3}");
    assertThat(after[0]).as("exchanges from then on").isGreaterThan(1);
    assertThat(highestDrive[0] / (target / 20)).isBetween(0.998, 1.0001);
    double drive = target / 20;
    for (int i = 0; i < 50; i++) {
      drive = target / 20 / (1 - 0.75 * cubic * drive * drive);
    }
    double square = cubic * drive * drive;
    Curve third =
        all.stream()
            .filter(m -> m.name().equals("harmonic 3 against frequency"))
            .filter(m -> m.conditions().toString().contains("right"))
            .filter(m -> m.conditions().toString().contains("1 W"))
            .map(m -> FormulaBench.curve(m.figure()))
            .findFirst()
            .orElseThrow();
    assertThat(third.size()).isEqualTo(4);
    for (int i = 0; i < third.size(); i++) {
      assertThat(third.y(i))
          .isCloseTo(20 * Math.log10(square / 4 / (1 - 0.75 * square)), within(0.05));
    }
  }

  @Test
  void streamsThatLoseSamplesAreGivenUpAndEachResultSaysSo() throws Exception {
    bench.lost = true;
    List<Measurement> all = measured(0.2);
    assertThat(all)
        .isNotEmpty()
        .allSatisfy(
            m ->
                assertThat(FormulaBench.reason(m.figure()))
                    .endsWith("samples were lost in the capture"));
    assertThat(exchanges).isLessThan(40);
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
