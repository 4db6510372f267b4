package kitproof.benchmark;

import java.util.Arrays;
import java.util.function.Supplier;

/** Times a piece of work that is done over and over. */
final class Stopwatch {
  private static final int WARM_UP = 12;
  private static final int TIMED = 15;

  private Stopwatch() {}

  /** Median milliseconds, after the compiler has had its time; the results must agree. */
  static double medianMillis(Supplier<double[]> work) {
    double[] first = work.get();
    for (int i = 1; i < WARM_UP; i++) {
      same(first, work.get());
    }
    long[] nanos = new long[TIMED];
    for (int i = 0; i < TIMED; i++) {
      long start = System.nanoTime();
      double[] result = work.get();
      nanos[i] = System.nanoTime() - start;
      same(first, result);
    }
    Arrays.sort(nanos);
    return nanos[TIMED / 2] / 1e6;
  }

  private static void same(double[] first, double[] result) {
    if (!Arrays.equals(first, result)) {
      throw new IllegalStateException("two runs on the same data differ");
    }
  }
}
