package kitproof.benchmark;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import kitproof.signal.CoherentTone;
import kitproof.signal.Sweep;

/** The captures both sides analyse, made from formulas and handed over as files. */
final class Captures {
  static final double RATE = 48000;
  static final int LENGTH = 1 << 20;
  static final CoherentTone TONE = CoherentTone.near(1000, RATE, LENGTH);
  static final double FREE_HZ = 1000.37;
  static final Sweep SWEEP = Sweep.synchronised(20, 20000, 5, RATE);

  private Captures() {}

  /** A tone with harmonics and noise, on an exact bin or not. */
  static double[] tone(double hz) {
    double[] volts = new double[LENGTH];
    long state = 1;
    for (int n = 0; n < LENGTH; n++) {
      double turns = hz / RATE * n;
      double angle = 2 * Math.PI * (turns - Math.rint(turns));
      state = state * 6364136223846793005L + 1442695040888963407L;
      volts[n] =
          4 * Math.sin(angle)
              + 0.01 * Math.sin(2 * angle + 0.3)
              + 0.004 * Math.sin(3 * angle - 1)
              + 0.0004 * ((state >>> 11) * 0x1p-52 - 1);
    }
    return volts;
  }

  /**
   * The sweep through a first-order high-pass and a slightly bent curve, with half a second more.
   */
  static double[] sweep() {
    double[] volts = Arrays.copyOf(SWEEP.samples(1), SWEEP.length() + (int) (RATE / 2));
    double before = 0;
    double out = 0;
    for (int n = 0; n < volts.length; n++) {
      double in = volts[n];
      out = 0.999 * (out + in - before);
      before = in;
      volts[n] = out + 0.01 * out * out;
    }
    return volts;
  }

  /** Writes 64-bit little-endian numbers. */
  static void write(Path file, double[] volts) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate(8 * volts.length).order(ByteOrder.LITTLE_ENDIAN);
    bytes.asDoubleBuffer().put(volts);
    Files.write(file, bytes.array());
  }
}
