package kitproof.driver.audio;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.DisplayName;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class MarkerTest {
  private static final int RATE = 48_000;
  private static final int PLACE = 4_321;
  private static final double LEVEL = 0.01;

  private final Marker marker = Marker.rising(RATE);

  @ParameterizedTest
  @DisplayName("A clean marker is found at its sample, with its level")
  @ValueSource(ints = {8_000, 44_100, 48_000, 96_000, 192_000})
  void clean(int rate) {
    Marker own = Marker.rising(rate);
    double[] capture = new double[rate];
    add(capture, own, PLACE, LEVEL);
    Marker.Found found = own.find(capture).orElseThrow();

    assertThat(found.position()).isEqualTo(PLACE);
    assertThat(found.amplitude()).isCloseTo(LEVEL, within(0.03 * LEVEL));
    assertThat(found.explained()).isGreaterThan(0.95);
  }

  @Test
  @DisplayName("It is found at both ends of a capture and in no less than its length")
  void ends() {
    double[] exact = new double[marker.length()];
    add(exact, marker, 0, 1);
    assertThat(marker.find(exact).orElseThrow().position()).isZero();
    double[] last = new double[10_000];
    add(last, marker, 10_000 - marker.length(), 1);
    assertThat(marker.find(last).orElseThrow().position()).isEqualTo(10_000 - marker.length());
    assertThat(marker.find(new double[marker.length() - 1])).isEmpty();
    assertThat(marker.find(new double[0])).isEmpty();
  }

  @ParameterizedTest
  @DisplayName("The falling one is found as well, and neither is taken for the other")
  @ValueSource(ints = {8_000, 48_000, 192_000})
  void falling(int rate) {
    Marker rising = Marker.rising(rate);
    Marker falling = Marker.falling(rate);
    double[] capture = new double[2 * rate];
    add(capture, falling, rate / 2, LEVEL);
    assertThat(falling.find(capture).orElseThrow().position()).isEqualTo(rate / 2);
    assertThat(rising.find(capture)).isEmpty();
    add(capture, rising, rate, LEVEL / 10);
    assertThat(rising.find(capture).orElseThrow().position()).isEqualTo(rate);
  }

  @Test
  @DisplayName("Inverted polarity does not hide it or move it")
  void inverted() {
    assertThat(place(x -> -3 * x)).isEqualTo(PLACE);
  }

  @Test
  @DisplayName("A device that clips it hard does not move it")
  void clipped() {
    assertThat(place(x -> Math.max(-LEVEL / 10, Math.min(LEVEL / 10, x)))).isEqualTo(PLACE);
  }

  @Test
  @DisplayName("A device that bends it like a single-ended valve does not move it")
  void curved() {
    assertThat(place(x -> x + 30 * x * x)).isEqualTo(PLACE);
  }

  @ParameterizedTest(name = "seed {0}")
  @DisplayName("Noise of six times its power within its band leaves it within a sample")
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void noisy(long seed) {
    double[] capture = new double[RATE];
    add(capture, marker, PLACE, LEVEL);
    // Over its tenth of a second the marker has 3/16 of its peak squared as its mean power (mean of
    // sin⁴ is 3/8, of the sine's square 1/2). White noise has a third of its power below 8 kHz.
    double power = 6 * 3.0 / 16 * LEVEL * LEVEL;
    addNoise(capture, Math.sqrt(3 * power), seed);

    assertThat(marker.find(capture).orElseThrow().position()).isCloseTo(PLACE, within(1));
  }

  @ParameterizedTest(name = "seed {0}")
  @DisplayName("Noise alone is not taken for it")
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void noiseAlone(long seed) {
    double[] capture = new double[2 * RATE];
    addNoise(capture, 0.1, seed);

    assertThat(marker.find(capture)).isEmpty();
  }

  @Test
  @DisplayName("Silence, DC, hum, tones and a sweep far louder than it are not taken for it")
  void othersAlone() {
    assertThat(marker.find(new double[RATE])).isEmpty();
    assertThat(marker.find(filled(t -> 0.5))).isEmpty();
    assertThat(marker.find(filled(t -> 0.5 * Math.sin(2 * Math.PI * 50 * t)))).isEmpty();
    assertThat(marker.find(filled(t -> Math.sin(2 * Math.PI * 1_000 * t)))).isEmpty();
    assertThat(marker.find(filled(t -> Math.sin(2 * Math.PI * 4_250 * t)))).isEmpty();
    assertThat(marker.find(filled(t -> Math.signum(Math.sin(2 * Math.PI * 440 * t))))).isEmpty();
    assertThat(marker.find(sweep())).isEmpty();
  }

  @Test
  @DisplayName("It is found before a sweep a hundred times as loud")
  void beforeASweep() {
    double[] capture = new double[2 * RATE];
    add(capture, marker, PLACE, LEVEL);
    System.arraycopy(sweep(), 0, capture, PLACE + marker.length() + RATE / 10, RATE);

    assertThat(marker.find(capture).orElseThrow().position()).isEqualTo(PLACE);
  }

  @Test
  @DisplayName("DC and hum ten times as strong do not hide it or move it")
  void humAndDc() {
    double[] capture = filled(t -> 0.3 + 10 * LEVEL * Math.sin(2 * Math.PI * 50 * t + 1));
    add(capture, marker, PLACE, LEVEL);

    assertThat(marker.find(capture).orElseThrow().position()).isEqualTo(PLACE);
  }

  @Test
  @DisplayName("Less than half a sample of delay does not move it; more than half does")
  void delayedByAPart() {
    for (double delay : new double[] {-0.45, -0.2, 0.2, 0.45}) {
      assertThat(marker.find(delayed(delay)).orElseThrow().position()).isEqualTo(PLACE);
    }
    assertThat(marker.find(delayed(0.6)).orElseThrow().position()).isEqualTo(PLACE + 1);
  }

  @Test
  @DisplayName("A first-order high-pass at 20 Hz does not move it")
  void highPassed() {
    double[] capture = new double[RATE];
    add(capture, marker, PLACE, LEVEL);
    highPass(capture, 20);

    assertThat(marker.find(capture).orElseThrow().position()).isEqualTo(PLACE);
  }

  @Test
  @DisplayName("A device that passes only what lies below 1 kHz does not hide it")
  void lowPassed() {
    double[] capture = new double[RATE];
    add(capture, marker, PLACE, LEVEL);
    lowPass(capture, 1_000);

    // One pole at 1 kHz delays by up to 160 µs, eight samples.
    assertThat(marker.find(capture).orElseThrow().position()).isBetween(PLACE, PLACE + 8);
  }

  @Test
  @DisplayName("It begins and ends in silence, without a step and without DC")
  void harmless() {
    double sum = 0;
    double largest = 0;
    for (int i = 0; i < marker.length(); i++) {
      sum += marker.at(i);
      largest = Math.max(largest, Math.abs(marker.at(i)));
    }

    assertThat(largest).isLessThanOrEqualTo(1).isGreaterThan(0.98);
    assertThat(Math.abs(marker.at(0))).isLessThan(1e-6);
    assertThat(Math.abs(marker.at(marker.length() - 1))).isLessThan(1e-6);
    assertThat(Math.abs(sum / marker.length())).isLessThan(1e-6);
  }

  @Test
  @DisplayName("The capture that is searched is left as it is")
  void inputUntouched() {
    double[] capture = new double[RATE];
    add(capture, marker, PLACE, LEVEL);
    double[] before = capture.clone();
    marker.find(capture);

    assertThat(capture).containsExactly(before);
  }

  private int place(DoubleUnaryOperator device) {
    double[] capture = new double[RATE];
    add(capture, marker, PLACE, LEVEL);
    for (int i = 0; i < capture.length; i++) {
      capture[i] = device.applyAsDouble(capture[i]);
    }
    return marker.find(capture).orElseThrow().position();
  }

  private static void add(double[] capture, Marker marker, int place, double level) {
    for (int i = 0; i < marker.length(); i++) {
      capture[place + i] += level * marker.at(i);
    }
  }

  private static void addNoise(double[] capture, double rms, long seed) {
    Random random = new Random(seed);
    for (int i = 0; i < capture.length; i++) {
      capture[i] += rms * random.nextGaussian();
    }
  }

  private static double[] filled(DoubleUnaryOperator ofSeconds) {
    double[] samples = new double[RATE];
    for (int i = 0; i < samples.length; i++) {
      samples[i] = ofSeconds.applyAsDouble(i / (double) RATE);
    }
    return samples;
  }

  /** 20 Hz to 20 kHz in one second at full scale, exponential. */
  private static double[] sweep() {
    double rate = Math.log(1_000);
    return filled(t -> Math.sin(2 * Math.PI * 20 / rate * (Math.exp(t * rate) - 1)));
  }

  /** The marker's own formula at shifted instants: 500 Hz to 8 kHz in 0.1 s, raised cosine. */
  private static double[] delayed(double samples) {
    double[] capture = new double[RATE];
    for (int i = 0; i < capture.length; i++) {
      double seconds = (i - PLACE + 0.5 - samples) / RATE;
      if (seconds > 0 && seconds < 0.1) {
        double envelope = Math.pow(Math.sin(Math.PI * seconds / 0.1), 2);
        double cycles = 500 * seconds + 7_500 * seconds * seconds / 0.2;
        capture[i] = LEVEL * envelope * Math.sin(2 * Math.PI * cycles);
      }
    }
    return capture;
  }

  private static void lowPass(double[] samples, double hz) {
    double a = 1 - Math.exp(-2 * Math.PI * hz / RATE);
    double y = 0;
    for (int i = 0; i < samples.length; i++) {
      y += a * (samples[i] - y);
      samples[i] = y;
    }
  }

  private static void highPass(double[] samples, double hz) {
    double[] low = samples.clone();
    lowPass(low, hz);
    for (int i = 0; i < samples.length; i++) {
      samples[i] -= low[i];
    }
  }
}
