package kitproof.signal;

import java.util.Arrays;
import org.apache.commons.math3.complex.Complex;

/**
 * How much noise counts by its frequency, 0 dB at 1 kHz.
 *
 * <p>Applied to the transform of a capture, so that nothing is warped near half the sample rate as
 * it is in the bilinear digital filters of these networks.
 */
public enum NoiseWeighting {
  /** Every frequency alike. */
  UNWEIGHTED {
    @Override
    Complex at(double hz) {
      return Complex.ONE;
    }
  },
  /** The A curve of IEC 61672-1:2013, formulas and pole frequencies of its Annex E. */
  A {
    @Override
    Complex at(double hz) {
      Complex s = new Complex(0, hz);
      return outerPoles(s)
          .multiply(s.divide(s.add(107.65264864304629)))
          .multiply(s.divide(s.add(737.8622307362901)))
          .multiply(A_AT_1_KHZ);
    }
  },
  /** The C curve of the same standard, which leaves hum almost as it is. */
  C {
    @Override
    Complex at(double hz) {
      return outerPoles(new Complex(0, hz)).multiply(C_AT_1_KHZ);
    }
  },
  /**
   * The network of ITU-R BS.468-4 as a rational function. Its coefficients are from memory; the
   * tests hold them to Table 1 of the recommendation, which they meet within 0.05 dB.
   */
  ITU_468 {
    @Override
    Complex at(double hz) {
      double f2 = hz * hz;
      double real =
          ((-4.737338981378384e-24 * f2 + 2.043828333606125e-15) * f2 - 1.363894795463638e-7) * f2
              + 1;
      double imaginary =
          ((1.306612257412824e-19 * f2 - 2.118150887518656e-11) * f2 + 5.559488023498642e-4) * hz;
      return new Complex(0, 1.246332637532143e-4 * hz * Levels.ratio(18.246265068039))
          .divide(new Complex(real, imaginary));
    }
  };

  /** Brings the A curve, -2 dB at 1 kHz as it stands, to 0 dB there. */
  private static final double A_AT_1_KHZ = Levels.ratio(1.99965553567);

  private static final double C_AT_1_KHZ = Levels.ratio(0.0619018567243);

  private static final int BANDWIDTH_STEPS = 2000;

  /** Room behind the samples, so that what rings on does not come round to their beginning. */
  private static final double TAIL_SECONDS = 0.5;

  /** The two lowest and the two highest poles, which A and C share. */
  private static Complex outerPoles(Complex s) {
    Complex lowest = s.divide(s.add(20.598997057618316));
    Complex highest = new Complex(12194.217147998012).divide(s.add(12194.217147998012));
    return lowest.multiply(lowest).multiply(highest).multiply(highest);
  }

  /** The network's complex response. */
  abstract Complex at(double hz);

  /** The network's response; minus infinity at 0 Hz if it lets nothing through there. */
  public double gainDb(double hz) {
    return Levels.db(at(hz).abs());
  }

  /** As wide a band of white noise as this lets through of a band: the integral of its power. */
  public double noiseBandwidthHz(Band band) {
    double step = (band.highHz() - band.lowHz()) / BANDWIDTH_STEPS;
    double sum = 0;
    for (int i = 0; i < BANDWIDTH_STEPS; i++) {
      double gain = at(band.lowHz() + (i + 0.5) * step).abs();
      sum += gain * gain * step;
    }
    return sum;
  }

  /**
   * The samples as they leave the network and a sharp-edged band; without DC.
   *
   * @param volts at least 2 samples; its first tenth of a second holds the network's settling
   */
  public double[] applyTo(double[] volts, double rate, Band band) {
    Require.samples(volts, 2);
    Require.positive("sample rate", rate);
    int length = Fft.powerOfTwo(volts.length + (long) (TAIL_SECONDS * rate));
    double mean = Levels.dc(volts);
    double[] data = new double[length];
    for (int i = 0; i < volts.length; i++) {
      data[i] = volts[i] - mean;
    }
    Fft.forward(data);
    data[0] = 0;
    data[1] = 0;
    double binHz = rate / length;
    for (int bin = 1; bin < length / 2; bin++) {
      Complex weight = band.contains(bin * binHz) ? at(bin * binHz) : Complex.ZERO;
      double re = data[2 * bin];
      double im = data[2 * bin + 1];
      data[2 * bin] = re * weight.getReal() - im * weight.getImaginary();
      data[2 * bin + 1] = re * weight.getImaginary() + im * weight.getReal();
    }
    Fft.inverse(data);
    return Arrays.copyOf(data, volts.length);
  }

  /** Rms, weighted, of what lies in the band; see {@link #rms(double[])}. */
  public double rms(double[] volts, double rate, Band band) {
    return rms(applyTo(volts, rate, band));
  }

  /**
   * Rms of what a network has let through. The ends of the capture, where the networks settle, are
   * faded out of the mean by a raised cosine.
   */
  public static double rms(double[] weighted) {
    double sum = 0;
    double total = 0;
    for (int i = 0; i < weighted.length; i++) {
      double share = 1 - Math.cos(2 * Math.PI * (i + 0.5) / weighted.length);
      sum += share * weighted[i] * weighted[i];
      total += share;
    }
    return Math.sqrt(sum / total);
  }
}
