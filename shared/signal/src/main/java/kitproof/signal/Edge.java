package kitproof.signal;

/** One period of a square wave between its samples, from the steepest point of its rising edge. */
final class Edge {
  private static final int FINER = 32;

  private final double[] volts;
  private final int start;
  private final double stepSeconds;

  private Edge(double[] volts, int start, double stepSeconds) {
    this.volts = volts;
    this.start = start;
    this.stepSeconds = stepSeconds;
  }

  /** From whole periods; made of the wave's own harmonics only. */
  static Edge of(double[] captured, SquareWave wave) {
    int periods = captured.length / wave.period();
    if (periods < 1 || captured.length != periods * wave.period()) {
      throw new IllegalArgumentException(
          captured.length + " samples are no whole periods of " + wave.period());
    }
    Require.samples(captured, 1);
    double[] spectrum = captured.clone();
    Fft.forward(spectrum);
    double[] fine = new double[Fft.powerOfTwo((long) FINER * wave.period())];
    double scale = (double) fine.length / captured.length;
    for (int harmonic = 1; harmonic <= wave.highestHarmonic(); harmonic += 2) {
      fine[2 * harmonic] = scale * Fft.re(spectrum, harmonic * periods);
      fine[2 * harmonic + 1] = scale * Fft.im(spectrum, harmonic * periods);
    }
    Fft.inverse(fine);
    int steepest = 0;
    double most = 0;
    for (int i = 0; i < fine.length; i++) {
      double slope = fine[(i + 1) % fine.length] - fine[i];
      if (slope > most) {
        most = slope;
        steepest = i;
      }
    }
    if (!(Levels.peak(fine) > 0)) {
      throw new IllegalArgumentException("no square wave: nothing at its frequencies");
    }
    return new Edge(fine, steepest, wave.period() / wave.sampleRateHz() / fine.length);
  }

  /** Steps in half a period. */
  int half() {
    return volts.length / 2;
  }

  static double stepSeconds(SquareWave wave) {
    return wave.period() / wave.sampleRateHz() / Fft.powerOfTwo((long) FINER * wave.period());
  }

  double stepSeconds() {
    return stepSeconds;
  }

  /** Volts so many steps after the edge, or before it. */
  double at(int step) {
    return volts[Math.floorMod(start + step, volts.length)];
  }

  /** Where, going this way from the edge, a level is first crossed; steps with their fraction. */
  double crossing(double level, int way) {
    for (int i = 0; i < half(); i++) {
      double here = at(way * i) - level;
      double there = at(way * (i + 1)) - level;
      if (here == 0 || here * there < 0) {
        return way * (i + here / (here - there));
      }
    }
    throw new IllegalArgumentException("no square wave: the edge does not cross " + level + " V");
  }
}
