package kitproof.mqtt;

import java.util.function.LongSupplier;

/**
 * How fast the time of a simulated bench passes: what was set, or what has been measured since its
 * run began.
 */
final class Pace {
  /** In less real time nothing is measured. */
  private static final double LEAST_SECONDS = 0.2;

  private final double set;
  private final LongSupplier nanos;
  private long began;
  private double latest = Outlook.MEASURED;

  /**
   * Nothing has been measured.
   *
   * @param set bench seconds per real second, or {@link Outlook#MEASURED}
   * @param nanos real time
   */
  Pace(double set, LongSupplier nanos) {
    this.set = set;
    this.nanos = nanos;
  }

  /** A run begins; until something has been measured of it the pace is that of the one before. */
  void begun() {
    began = nanos.getAsLong();
  }

  /**
   * Bench seconds per real second.
   *
   * @param bench seconds that have passed at the bench since the run began
   * @return 0 if nothing has been measured yet
   */
  double after(double bench) {
    if (set != Outlook.MEASURED) {
      return set;
    }
    double real = (nanos.getAsLong() - began) / 1e9;
    if (bench > 0 && real >= LEAST_SECONDS) {
      latest = bench / real;
    }
    return latest;
  }
}
