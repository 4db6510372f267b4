package kitproof.driver.simulated.unit;

import static kitproof.driver.simulated.unit.Bed.LEFT;
import static kitproof.driver.simulated.unit.Bed.RIGHT;
import static kitproof.driver.simulated.unit.Bed.decibels;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

/**
 * Two tones at once, read by the defining sums without the station's analysis. The figures at 5 W
 * are what {@code LinnetSpectraIT} expects of the station's own reading.
 */
class TwoTonesTest {
  /** As the example bench has it: load and, by its 36 %, the left trimmer. */
  private static final double LOAD = 8.02;

  private static final double TRIMMER = 1 + 0.25 * (0.36 - 0.5) / 0.5;
  private final Bed bed = asOnTheExampleBench();

  private static Bed asOnTheExampleBench() {
    Bed bed = Bed.warm("LN12-001", null);
    bed.load = LOAD;
    bed.unit.trim(LEFT, TRIMMER);
    bed.connect();
    bed.pass(15);
    return bed;
  }

  /** Two equal tones whose peak is that of a sine of this power. */
  private double[] play(double lowHz, double highHz, double watts) {
    double peak = Math.sqrt(2 * watts * LOAD);
    double volts = peak / 80; // a gain of 29 dB, not below what it is
    double[] output = once(lowHz, highHz, volts);
    for (int i = 0; i < 3; i++) {
      double reached = Math.sqrt(2) * (line(output, lowHz) + line(output, highHz));
      volts *= peak / reached;
      output = once(lowHz, highHz, volts);
    }
    return output;
  }

  private double[] once(double lowHz, double highHz, double volts) {
    double[] tones = new double[(int) (0.25 * bed.rate)];
    for (int i = 0; i < tones.length; i++) {
      double turns = 2 * Math.PI * i / bed.rate;
      tones[i] = volts * Math.sqrt(2) * (Math.sin(lowHz * turns) + Math.sin(highHz * turns));
    }
    return bed.play(tones, new double[tones.length])[LEFT];
  }

  private double line(double[] output, double hertz) {
    return bed.line(output, hertz, 0.1);
  }

  /** A product over the higher tone, dB. */
  private double product(double[] output, double hertz, double highHz) {
    return decibels(line(output, hertz) / line(output, highHz));
  }

  @Test
  void nineteenAndTwentyKilohertzMakeEighteenTwentyOneAndOneKilohertz() {
    double[] output = play(19_000, 20_000, 5);
    assertThat(product(output, 18_000, 20_000)).isCloseTo(-31.02, within(0.05));
    assertThat(product(output, 21_000, 20_000)).isCloseTo(-30.72, within(0.05));
    assertThat(product(output, 1000, 20_000)).isCloseTo(-51.1, within(0.2));
    double both = line(output, 19_000) + line(output, 20_000);
    double third = line(output, 18_000) + line(output, 21_000);
    assertThat(100 * third / both).as("percent of both tones").isCloseTo(2.856, within(0.02));
    // Between them there is nothing but noise.
    assertThat(product(output, 18_500, 20_000)).isLessThan(-90);
  }

  /** A third-order product goes with the cube of the tones: 6.02 dB relative for 3.01 dB more. */
  @Test
  void theThirdOrderProductsGrowWithTheSquareOfTheTones() {
    double[] less = play(19_000, 20_000, 0.5);
    double[] more = play(19_000, 20_000, 1);
    double grown = product(more, 18_000, 20_000) - product(less, 18_000, 20_000);
    assertThat(grown).isCloseTo(20 * Math.log10(2), within(0.3));
  }

  /**
   * Why it is 3 % at 19 and 20 kHz and a quarter of a percent at a tenth of these: the voltage
   * stage's bend comes before its pole. To drive the output valves as far at 19.5 kHz as at 1.95
   * kHz it must give |1 + jf/fc| times as much, and a cubic bend's relative products go with the
   * square of it. And the feedback that takes them down is what the pole leaves of it: 1 + T
   * before, |1 + T/(1 + jf/fc)| then. (The bend is a small part of the whole, the output valves'
   * own is flat.)
   */
  @Test
  void thePoleOfTheVoltageStageExplainsTheRiseOfTheThirdOrder() {
    double[] low = play(1900, 2000, 5);
    double[] high = play(19_000, 20_000, 5);
    double risen = product(high, 18_000, 20_000) - product(low, 1800, 2000);

    double corner = Kit.build(12, "LN12-001", null).left().stageCornerHz();
    double loop = loopGain();
    double[] factors = new double[2];
    for (int i = 0; i < 2; i++) {
      double f = (i == 0 ? 1950 : 19_500) / corner;
      double square = 1 + f * f;
      double desensitivity = Math.hypot(1 + loop / square, loop * f / square);
      factors[i] = square / desensitivity;
    }
    assertThat(risen).isCloseTo(decibels(factors[1] / factors[0]), within(1.5));
    assertThat(risen).isBetween(20.0, 25.0);
  }

  /** From the gain with a tenth of the feedback: (1 + T) / (1 + T/10), in the other channel. */
  private double loopGain() {
    Bed weak = Bed.warm("LN12-001", Fault.FEEDBACK_RESISTOR_DECADE);
    double ratio = Math.pow(10, (weak.gain(RIGHT, 1000) - bed.gain(RIGHT, 1000)) / 20);
    double left = weakShare();
    return (ratio - 1) / (1 - ratio * left);
  }

  private static double weakShare() {
    return Kit.build(12, "LN12-001", Fault.FEEDBACK_RESISTOR_DECADE).right().feedback()
        / Kit.build(12, "LN12-001", null).right().feedback();
  }
}
