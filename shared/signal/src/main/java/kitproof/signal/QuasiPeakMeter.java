package kitproof.signal;

/**
 * The quasi-peak meter of ITU-R BS.468-4: full-wave rectifier and two peak followers in a row, each
 * with a time to rise and a time to fall, reading the rms of a steady sine.
 *
 * <p>The recommendation gives no time constants but the readings of tone bursts, with tolerances.
 * The constants here were found by least squares of the readings' errors in dB, each over its
 * tolerance; they come within 0.2 dB of every nominal reading.
 */
public final class QuasiPeakMeter {
  private static final double FIRST_RISE_SECONDS = 1.4803e-3;
  private static final double FIRST_FALL_SECONDS = 0.28841;
  private static final double SECOND_RISE_SECONDS = 0.22523;
  private static final double SECOND_FALL_SECONDS = 0.36975;

  /** What is read of a sine of one volt rms after so long is one volt. */
  private static final double CALIBRATION_SECONDS = 3;

  private static final double CALIBRATION_HERTZ = 1000;

  private QuasiPeakMeter() {}

  /**
   * The highest reading during the samples; steady noise needs about two seconds to be read.
   *
   * @param weighted volts behind the weighting network
   * @param rate samples per second, at least 20 000
   * @return volts
   */
  public static double volts(double[] weighted, double rate) {
    Require.samples(weighted, 1);
    if (!(rate >= 20e3)) {
      throw new IllegalArgumentException(rate + " samples per second, at least 20000 are needed");
    }
    double[] sine = new double[(int) (CALIBRATION_SECONDS * rate)];
    for (int n = 0; n < sine.length; n++) {
      sine[n] = Math.sqrt(2) * Math.sin(2 * Math.PI * CALIBRATION_HERTZ * n / rate);
    }
    return highest(weighted, rate) / highest(sine, rate);
  }

  private static double highest(double[] samples, double rate) {
    double firstRise = 1 / (FIRST_RISE_SECONDS * rate);
    double firstFall = 1 / (FIRST_FALL_SECONDS * rate);
    double secondRise = 1 / (SECOND_RISE_SECONDS * rate);
    double secondFall = 1 / (SECOND_FALL_SECONDS * rate);
    double first = 0;
    double second = 0;
    double highest = 0;
    for (double sample : samples) {
      first -= firstFall * first;
      first += firstRise * Math.max(0, Math.abs(sample) - first);
      second -= secondFall * second;
      second += secondRise * Math.max(0, first - second);
      highest = Math.max(highest, second);
    }
    return highest;
  }
}
