package kitproof.signal;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * From a captured sweep to the responses of fundamental and harmonics.
 *
 * <p>The capture's spectrum is divided by the sweep's. In time that leaves the linear impulse
 * response at zero and the harmonics' before it, each by its own lead; a gate picks one. What
 * fading and gating do to a wire is known exactly and divided out, so a wire measures 0 dB up to
 * the edges of the band.
 */
public final class SweepAnalysis {
  static final int HIGHEST_ORDER = 5;

  private SweepAnalysis() {}

  /**
   * Finds linear and harmonic responses.
   *
   * @param peakVolts with which the sweep was played
   * @param captured begins with the sweep's first sample; what follows the sweep is the tail
   * @throws IllegalArgumentException if the capture is shorter than the sweep
   */
  public static SweepResponse response(SweptStimulus sweep, double peakVolts, double[] captured) {
    Require.samples(captured, 1);
    Require.positive("peak", peakVolts);
    if (captured.length < sweep.length()) {
      throw new IllegalArgumentException(
          captured.length + " samples of a sweep of " + sweep.length());
    }
    // Room for every gate around the circle, for sweeps over less than two octaves too.
    double perFactor = sweep.secondsPerFactor() * sweep.sampleRateHz();
    int length = Fft.powerOfTwo((long) Math.max(captured.length, 3.2 * perFactor));
    double[] quotient = Arrays.copyOf(captured, length);
    double[] wire = new double[length];
    divide(quotient, wire, sweep, peakVolts);

    List<FrequencyResponse> byOrder = new ArrayList<>();
    for (int order = 1; order <= HIGHEST_ORDER; order++) {
      if (order * sweep.startHz() < sweep.endHz()) {
        byOrder.add(gated(quotient, wire, sweep, order));
      }
    }
    return new SweepResponse(byOrder);
  }

  /** Makes the impulse response of the capture, and that of a wire, in place. */
  private static void divide(
      double[] captured, double[] wire, SweptStimulus sweep, double peakVolts) {
    int length = captured.length;
    double[] played = Arrays.copyOf(sweep.samples(peakVolts), length);
    Fft.forward(played);
    Fft.forward(captured);
    captured[0] = 0;
    captured[1] = 0;
    for (int bin = 1; bin < length / 2; bin++) {
      double fade = sweep.fade(bin * sweep.sampleRateHz() / length);
      double pass = fade * fade;
      double re = played[2 * bin];
      double im = played[2 * bin + 1];
      double size = re * re + im * im;
      double scale = pass == 0 ? 0 : pass / size;
      double capturedRe = captured[2 * bin];
      double capturedIm = captured[2 * bin + 1];
      captured[2 * bin] = (capturedRe * re + capturedIm * im) * scale;
      captured[2 * bin + 1] = (capturedIm * re - capturedRe * im) * scale;
      wire[2 * bin] = pass;
    }
    Fft.inverse(captured);
    Fft.inverse(wire);
  }

  private static FrequencyResponse gated(
      double[] quotient, double[] wire, SweptStimulus sweep, int order) {
    double rate = sweep.sampleRateHz();
    Gate gate = Gate.of(order, sweep.secondsPerFactor() * rate);
    double lead = -sweep.harmonicLeadSeconds(order) * rate;
    int centre = (int) Math.rint(lead);
    double[] response = gate.cut(quotient, centre);
    double[] reference = gate.cut(wire, 0);
    Fft.forward(response);
    Fft.forward(reference);

    Band band = new Band(sweep.startHz(), sweep.endHz() / order);
    return new FrequencyResponse(band, order, rate, response, reference, (lead - centre) / rate);
  }
}
