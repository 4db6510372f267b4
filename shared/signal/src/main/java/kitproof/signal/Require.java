package kitproof.signal;

/** Refuses what cannot be analysed, in the words of the one who has to put it right. */
final class Require {
  private Require() {}

  static void samples(double[] samples, int atLeast) {
    if (samples.length < atLeast) {
      throw new IllegalArgumentException(
          samples.length + " samples, at least " + atLeast + " are needed");
    }
    for (int i = 0; i < samples.length; i++) {
      if (!Double.isFinite(samples[i])) {
        throw new IllegalArgumentException("sample " + i + " is " + samples[i]);
      }
    }
  }

  static void positive(String what, double value) {
    if (!(value > 0) || Double.isInfinite(value)) {
      throw new IllegalArgumentException(what + " must be above zero, not " + value);
    }
  }

  static void sameLength(double[] seconds, double[] values) {
    if (seconds.length != values.length) {
      throw new IllegalArgumentException(
          seconds.length + " times and " + values.length + " values");
    }
    for (int i = 1; i < seconds.length; i++) {
      if (!(seconds[i] > seconds[i - 1])) {
        throw new IllegalArgumentException("time does not rise at point " + i);
      }
    }
  }
}
