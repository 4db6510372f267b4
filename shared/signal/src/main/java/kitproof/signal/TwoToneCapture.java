package kitproof.signal;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;

/**
 * A captured pair of tones whose frequencies are not exactly known, such as one that another clock
 * played: both are found by four-parameter sine fits (IEEE 1057), then they and the products that
 * matter are fitted at once, so that no whole number of periods is needed.
 */
public final class TwoToneCapture {
  /** Orders of f1 and f2 that may be strong enough to disturb others. */
  private static final int[][] MODEL = {
    {1, 0}, {0, 1}, {-1, 1}, {1, 1}, {-2, 1}, {2, 1}, {-1, 2}, {2, 0}, {3, 0}, {0, 2}, {0, 3},
    {4, 0}, {5, 0}, {-3, 1}, {3, 1}, {1, 2}, {3, -2}, {-2, 3}, {-2, 2}
  };

  /** Lines of the model are at least so many cycles per record apart. */
  private static final double APART = 2;

  private static final double FEWEST_CYCLES = 4;
  private static final double OFF = 0.1;
  private static final double OFF_OF_DIFFERENCE = 0.4;

  private final double lowOmega;
  private final double highOmega;
  private final double rate;
  private final LineFit fit;
  private final double[] rest;

  private TwoToneCapture(
      double lowOmega, double highOmega, double rate, LineFit fit, double[] rest) {
    this.lowOmega = lowOmega;
    this.highOmega = highOmega;
    this.rate = rate;
    this.fit = fit;
    this.rest = rest;
  }

  /**
   * Finds both tones and what became of them.
   *
   * @param volts four cycles or more of the lower tone and of the difference
   * @param rate samples per second
   * @param lowHz the lower tone, within a tenth and within 0.4 of the difference
   * @param highHz the higher tone, as near
   * @throws IllegalArgumentException also if one of the tones is not there
   */
  public static IntermodulationFigures analyse(
      double[] volts, double rate, double lowHz, double highHz) {
    Require.samples(volts, 16);
    Require.positive("lower frequency", lowHz);
    if (!(highHz > lowHz) || highHz >= rate / 2) {
      throw new IllegalArgumentException(
          lowHz + " Hz and " + highHz + " Hz at " + rate + " samples per second");
    }
    double slowest = Math.min(lowHz, highHz - lowHz);
    if (slowest * volts.length / rate < FEWEST_CYCLES) {
      throw new IllegalArgumentException(
          "fewer than four cycles of " + slowest + " Hz in " + volts.length + " samples");
    }
    double room = OFF_OF_DIFFERENCE * (highHz - lowHz);
    double low = tone(volts, near(volts, rate, lowHz, room));
    double high = tone(volts, near(volts, rate, highHz, room));
    LineFit rough = LineFit.at(volts, lines(volts.length, low, high));
    // Once more with all the others out of the way.
    low = tone(rough.without(volts, 0), low);
    high = tone(rough.without(volts, 1), high);
    LineFit fit = LineFit.at(volts, lines(volts.length, low, high));
    if (!(fit.rms(0) > 0) || !(fit.rms(1) > 0)) {
      throw new IllegalArgumentException("no tones: nothing at their frequencies");
    }
    TwoToneCapture found = new TwoToneCapture(low, high, rate, fit, fit.without(volts, -1));
    return new IntermodulationFigures(found::volts, found::hz);
  }

  private static double near(double[] volts, double rate, double hz, double room) {
    double widest = Math.min(OFF * hz, room);
    return 2 * Math.PI * ToneFinder.find(volts, rate, hz - widest, hz + widest) / rate;
  }

  private static double tone(double[] volts, double omega) {
    return HarmonicFit.free(volts, omega, 1, Weighting.HANN).omega();
  }

  /** Both tones, and of the others those that are on their own. */
  private static double[] lines(int length, double low, double high) {
    double apart = APART * 2 * Math.PI / length;
    List<Double> lines = new ArrayList<>();
    for (int[] orders : MODEL) {
      double omega = Math.abs(orders[0] * low + orders[1] * high);
      boolean alone = omega > apart && omega < Math.PI - apart;
      for (double other : lines) {
        alone &= Math.abs(other - omega) > apart;
      }
      if (alone) {
        lines.add(omega);
      }
    }
    return lines.stream().mapToDouble(Double::doubleValue).toArray();
  }

  private OptionalDouble volts(int low, int high) {
    double omega = Math.abs(low * lowOmega + high * highOmega);
    double apart = APART * 2 * Math.PI / rest.length;
    if (omega <= apart || omega >= Math.PI - apart) {
      return OptionalDouble.empty();
    }
    double[] omegas = fit.omegas();
    for (int i = 0; i < omegas.length; i++) {
      if (Math.abs(omegas[i] - omega) <= apart) {
        return OptionalDouble.of(fit.rms(i));
      }
    }
    return OptionalDouble.of(HarmonicFit.at(rest, omega, 1, Weighting.HANN).rms(1));
  }

  private double hz(int low, int high) {
    return Math.abs(low * lowOmega + high * highOmega) * rate / (2 * Math.PI);
  }
}
