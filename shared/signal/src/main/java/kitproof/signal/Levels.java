package kitproof.signal;

import org.apache.commons.math3.stat.StatUtils;

/** Levels and the units they are told in. */
public final class Levels {
  private Levels() {}

  /** Decibels of a ratio of voltages; zero gives minus infinity. */
  public static double db(double ratio) {
    return 20 * Math.log10(ratio);
  }

  /** The ratio of voltages that is so many decibels. */
  public static double ratio(double db) {
    return Math.pow(10, db / 20);
  }

  /** Decibels relative to one volt. */
  public static double dbv(double volts) {
    return db(volts);
  }

  /**
   * Watts in a load.
   *
   * @param volts rms
   * @param loadOhms as measured, not as printed
   */
  public static double watts(double volts, double loadOhms) {
    Require.positive("load", loadOhms);
    return volts * volts / loadOhms;
  }

  /** The rms volts that give so many watts in a load. */
  public static double volts(double watts, double loadOhms) {
    Require.positive("load", loadOhms);
    return Math.sqrt(watts * loadOhms);
  }

  /** Root of the mean square, DC included. */
  public static double rms(double[] samples) {
    Require.samples(samples, 1);
    return Math.sqrt(StatUtils.sumSq(samples) / samples.length);
  }

  /** The mean. */
  public static double dc(double[] samples) {
    Require.samples(samples, 1);
    return StatUtils.mean(samples);
  }

  /** The largest magnitude. */
  public static double peak(double[] samples) {
    Require.samples(samples, 1);
    return Math.max(StatUtils.max(samples), -StatUtils.min(samples));
  }
}
