package kitproof.driver.simulated;

import kitproof.driver.Settings;
import kitproof.value.Unit;

/**
 * What a simulated audio interface does wrong, for calibration to find. None unless the bench file
 * says so.
 *
 * @param outputs left and right: by how much more comes out than is asked for, as a ratio of 1
 * @param inputs left and right: by how much more is shown than goes in
 * @param lowCorner corner of a first-order high-pass of the inputs, Hz; 0 for none
 * @param highCorner corner of a first-order low-pass of the inputs, Hz; infinite for none
 * @param leakage of each input into the other one, as a ratio
 * @param cube third-order term of the inputs: x + cube·x³, x as a part of full scale
 * @param delay samples that are not taken out
 * @param spur a line that the inputs' converters show by themselves
 */
record AudioErrors(
    double[] outputs,
    double[] inputs,
    double lowCorner,
    double highCorner,
    double leakage,
    double cube,
    int delay,
    Spur spur) {
  private static final double MOST = 0.2;

  /**
   * A single line.
   *
   * @param hertz where
   * @param level its peak over full scale; 0 for none
   */
  record Spur(double hertz, double level) {
    /** At a sample, as a part of full scale. */
    double at(int sample, double rate) {
      return level < 1e-15 ? 0 : level * Math.sin(2 * Math.PI * hertz * sample / rate);
    }
  }

  static AudioErrors read(Settings settings, double rate) {
    Settings errors = settings.part("errors");
    double lowCorner = errors.quantity("low-corner", Unit.HERTZ, 0).value();
    double highCorner = errors.quantity("high-corner", Unit.HERTZ, 1e9).value();
    if (lowCorner < 0 || lowCorner > 20) {
      errors.reject("low-corner", "0 Hz to 20 Hz");
    }
    if (highCorner < 10_000) {
      errors.reject("high-corner", "10 kHz or more");
    }
    double leakage = errors.quantity("leakage", Unit.DECIBEL, -400).value();
    double third = errors.quantity("third-harmonic", Unit.DECIBEL, -400).value();
    if (leakage > -20 || third > -20) {
      errors.reject(leakage > -20 ? "leakage" : "third-harmonic", "-20 dB or less");
    }
    double delay = errors.quantity("delay", Unit.SECOND, 0).value();
    if (delay < 0 || delay > 0.01) {
      errors.reject("delay", "0 s to 10 ms");
    }
    double spur = errors.quantity("spur", Unit.DECIBEL, -400).value();
    double spurAt = errors.quantity("spur-at", Unit.HERTZ, 10_000).value();
    if (spur > -20) {
      errors.reject("spur", "-20 dB or less");
    }
    if (spurAt <= 0 || spurAt >= rate / 2) {
      errors.reject("spur-at", "more than 0 Hz, less than half the sample rate");
    }
    return new AudioErrors(
        new double[] {gain(errors, "output-left"), gain(errors, "output-right")},
        new double[] {gain(errors, "input-left"), gain(errors, "input-right")},
        lowCorner,
        highCorner,
        Math.pow(10, leakage / 20),
        4 * Math.pow(10, third / 20), // x³ of a sine holds a quarter of it as third harmonic
        (int) Math.round(delay * rate),
        new Spur(spurAt, Math.pow(10, spur / 20)));
  }

  private static double gain(Settings errors, String key) {
    double percent = errors.quantity(key, Unit.PERCENT, 0).value();
    if (Math.abs(percent) > 100 * MOST) {
      errors.reject(key, "-20 % to 20 %");
    }
    return 1 + percent / 100;
  }

  /**
   * What the converters are given for the volts at both inputs.
   *
   * @param volts left and right; one may be empty
   */
  double[][] seen(double[][] volts, double rate, double fullScale) {
    double[][] seen = new double[2][];
    for (int c = 0; c < 2; c++) {
      double[] own = volts[c];
      double[] other = volts[1 - c];
      seen[c] = new double[own.length];
      for (int i = 0; i < own.length; i++) {
        int from = i - delay;
        seen[c][i] =
            from < 0 ? 0 : inputs[c] * (own[from] + (leakage < 1e-15 ? 0 : leakage * other[from]));
      }
      filter(seen[c], rate);
      if (cube > 1e-15) {
        bend(seen[c], fullScale);
      }
    }
    return seen;
  }

  private void filter(double[] samples, double rate) {
    if (lowCorner > 0) {
      double k = Math.tan(Math.PI * lowCorner / rate);
      onePole(samples, 1 / (1 + k), -1 / (1 + k), (k - 1) / (k + 1));
    }
    if (highCorner < rate * 0.499) {
      double k = Math.tan(Math.PI * highCorner / rate);
      onePole(samples, k / (1 + k), k / (1 + k), (k - 1) / (k + 1));
    }
  }

  private static void onePole(double[] samples, double b0, double b1, double a1) {
    double x1 = 0;
    double y1 = 0;
    for (int i = 0; i < samples.length; i++) {
      double x = samples[i];
      double y = b0 * x + b1 * x1 - a1 * y1;
      x1 = x;
      y1 = y;
      samples[i] = y;
    }
  }

  private void bend(double[] samples, double fullScale) {
    for (int i = 0; i < samples.length; i++) {
      double x = samples[i] / fullScale;
      samples[i] = fullScale * (x + cube * x * x * x);
    }
  }
}
