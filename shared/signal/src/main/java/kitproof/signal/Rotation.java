package kitproof.signal;

/**
 * Cosines and sines of an angle that grows evenly, by turning a pointer on.
 *
 * <p>Done in short blocks that each start with the library's cosine and sine, so that the pointer's
 * rounding cannot grow; several times as fast as those for every sample.
 */
final class Rotation {
  static final int BLOCK = 512;

  private Rotation() {}

  /** Fills with the cosine and sine of {@code omega·(time + i)}. */
  static void fill(double omega, double time, double[] cos, double[] sin) {
    double stepCos = Math.cos(omega);
    double stepSin = Math.sin(omega);
    double c = Math.cos(omega * time);
    double s = Math.sin(omega * time);
    for (int i = 0; i < cos.length; i++) {
      cos[i] = c;
      sin[i] = s;
      double next = c * stepCos - s * stepSin;
      s = s * stepCos + c * stepSin;
      c = next;
    }
  }
}
