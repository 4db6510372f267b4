package kitproof.signal;

import java.util.LinkedHashMap;
import java.util.Map;
import org.jtransforms.fft.DoubleFFT_1D;
import org.jtransforms.utils.CommonUtils;

/**
 * Real Fourier transforms by JTransforms, on the calling thread.
 *
 * <p>The tables for a length cost more than a transform, and a run asks for the same two or three
 * lengths again and again: the last few are kept.
 */
final class Fft {
  private static final int KEPT = 3;

  private static final Map<Integer, DoubleFFT_1D> PLANS =
      new LinkedHashMap<>(8, 0.75f, true) {
        @Override
        protected boolean removeEldestEntry(Map.Entry<Integer, DoubleFFT_1D> eldest) {
          return size() > KEPT;
        }
      };

  static {
    // A second thread was measured to bring nothing, and this package promises none.
    CommonUtils.setThreadsBeginN_1D_FFT_2Threads(Long.MAX_VALUE);
    CommonUtils.setThreadsBeginN_1D_FFT_4Threads(Long.MAX_VALUE);
  }

  private Fft() {}

  private static DoubleFFT_1D plan(int length) {
    synchronized (PLANS) {
      return PLANS.computeIfAbsent(length, DoubleFFT_1D::new);
    }
  }

  /**
   * Transforms in place. The even length n then holds Re 0, Re n/2, Re 1, Im 1, Re 2, Im 2 …; an
   * odd one Re 0, Im (n-1)/2, Re 1, Im 1, …, Re (n-1)/2. Read it through {@link #re} and {@link
   * #im}.
   */
  static void forward(double[] data) {
    plan(data.length).realForward(data);
  }

  /** Undoes {@link #forward}, with the factor 1/n. */
  static void inverse(double[] data) {
    plan(data.length).realInverse(data, true);
  }

  static double re(double[] spectrum, int bin) {
    int n = spectrum.length;
    if (bin == 0) {
      return spectrum[0];
    }
    return 2 * bin == n ? spectrum[1] : spectrum[2 * bin];
  }

  static double im(double[] spectrum, int bin) {
    int n = spectrum.length;
    if (bin == 0 || 2 * bin == n) {
      return 0;
    }
    return 2 * bin + 1 == n ? spectrum[1] : spectrum[2 * bin + 1];
  }

  /**
   * Squared magnitude of a bin with its mirror: twice |X|², but once at 0 Hz and at half the rate.
   */
  static double power(double[] spectrum, int bin) {
    double re = re(spectrum, bin);
    double im = im(spectrum, bin);
    boolean alone = bin == 0 || 2 * bin == spectrum.length;
    return (alone ? 1 : 2) * (re * re + im * im);
  }

  /** The smallest power of two that is not below the given number. */
  static int powerOfTwo(long atLeast) {
    if (atLeast > 1 << 30) {
      throw new IllegalArgumentException(atLeast + " samples are too many");
    }
    int length = 1;
    while (length < atLeast) {
      length <<= 1;
    }
    return length;
  }
}
