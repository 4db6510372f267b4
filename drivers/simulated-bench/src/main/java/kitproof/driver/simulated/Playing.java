package kitproof.driver.simulated;

/**
 * What the interface's outputs give, for a meter at them.
 *
 * @param start bench seconds of the first sample
 * @param rate samples per second
 * @param left volts
 * @param right volts
 */
record Playing(double start, double rate, double[] left, double[] right) {
  static final Playing NOTHING = new Playing(0, 1, new double[0], new double[0]);

  /**
   * The rms over a time, silence outside the signal included. The middle counts most, as with a
   * meter that averages gently: a part of a cycle at the ends changes nothing.
   */
  double rms(boolean ofLeft, double from, double to) {
    double[] samples = ofLeft ? left : right;
    long first = Math.round((from - start) * rate);
    long last = Math.max(first + 1, Math.round((to - start) * rate));
    double sum = 0;
    double weights = 0;
    for (long i = first; i < last; i++) {
      double weight = Math.pow(Math.sin(Math.PI * (i - first + 0.5) / (last - first)), 2);
      double volts = i >= 0 && i < samples.length ? samples[(int) i] : 0;
      sum += weight * volts * volts;
      weights += weight;
    }
    return Math.sqrt(sum / weights);
  }
}
