package kitproof.signal;

import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * From a captured sweep to the responses of fundamental and harmonics.
 *
 * <p>The capture's spectrum is divided by the sweep's. In time that leaves the linear impulse
 * response at zero and the harmonics' before it, each by its own lead; a gate picks one. What
 * fading and gating do to a wire is known exactly and divided out, so a wire measures 0 dB up to
 * the edges of the band.
 *
 * <p>What depends on the sweep alone is kept for the last one: a run plays the same one on and on.
 */
public final class SweepAnalysis {
  static final int HIGHEST_ORDER = 5;

  /** So far before the linear response lies that of harmonic 15: its lead is the logarithm. */
  private static final double HARMONICS_REACH = 2.7;

  private static volatile @Nullable SweepAnalysis last;

  private final SweptStimulus sweep;
  private final int length;

  /** The sweep's spectrum, played with a peak of one volt. */
  private final double[] played;

  /** What a wire gives: the sweep's fades, in time. */
  private final double[] wire;

  /** By order, the wire's spectrum through that order's gate. */
  private final Map<Integer, double[]> references = new HashMap<>();

  private SweepAnalysis(SweptStimulus sweep, int length) {
    this.sweep = sweep;
    this.length = length;
    played = Arrays.copyOf(sweep.samples(1), length);
    Fft.forward(played);
    wire = new double[length];
    for (int bin = 1; bin < length / 2; bin++) {
      double fade = sweep.fade(bin * sweep.sampleRateHz() / length);
      wire[2 * bin] = fade * fade;
    }
    Fft.inverse(wire);
  }

  private static SweepAnalysis of(SweptStimulus sweep, int length) {
    SweepAnalysis kept = last;
    if (kept == null || !kept.sweep.equals(sweep) || kept.length != length) {
      kept = new SweepAnalysis(sweep, length);
      last = kept;
    }
    return kept;
  }

  /**
   * Works out beforehand what every capture of this sweep needs.
   *
   * @param captureSamples how long the captures will be
   */
  public static void prepare(Sweep sweep, int captureSamples) {
    SweepAnalysis analysis = of(sweep, length(sweep, captureSamples));
    analysis.reference(analysis.gate(1), 1);
  }

  /** Room for every gate around the circle, for sweeps over less than two octaves too. */
  private static int length(SweptStimulus sweep, int captureSamples) {
    double perFactor = sweep.secondsPerFactor() * sweep.sampleRateHz();
    return Fft.powerOfTwo((long) Math.max(captureSamples, 3.2 * perFactor));
  }

  private Gate gate(int order) {
    return Gate.of(order, sweep.secondsPerFactor() * sweep.sampleRateHz());
  }

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
    SweepAnalysis analysis = of(sweep, length(sweep, captured.length));
    double[] quotient = analysis.quotient(captured, peakVolts);
    // The harmonics only when somebody asks: most are after the linear response alone.
    return new SweepResponse(
        analysis.gated(quotient, 1),
        order ->
            order * sweep.startHz() < sweep.endHz()
                ? Optional.of(analysis.gated(quotient, order))
                : Optional.empty(),
        () -> analysis.noise(quotient));
  }

  /** The impulse response of the capture. */
  private double[] quotient(double[] captured, double peakVolts) {
    double[] quotient = Arrays.copyOf(captured, length);
    Fft.forward(quotient);
    quotient[0] = 0;
    quotient[1] = 0;
    for (int bin = 1; bin < length / 2; bin++) {
      double fade = sweep.fade(bin * sweep.sampleRateHz() / length);
      double pass = fade * fade;
      double re = played[2 * bin];
      double im = played[2 * bin + 1];
      double scale = pass == 0 ? 0 : pass / ((re * re + im * im) * peakVolts);
      double capturedRe = quotient[2 * bin];
      double capturedIm = quotient[2 * bin + 1];
      quotient[2 * bin] = (capturedRe * re + capturedIm * im) * scale;
      quotient[2 * bin + 1] = (capturedIm * re - capturedRe * im) * scale;
    }
    Fft.inverse(quotient);
    return quotient;
  }

  private FrequencyResponse gated(double[] quotient, int order) {
    double rate = sweep.sampleRateHz();
    Gate gate = gate(order);
    double lead = -sweep.harmonicLeadSeconds(order) * rate;
    int centre = (int) Math.rint(lead);
    double[] response = gate.cut(quotient, centre);
    Fft.forward(response);
    double[] reference = reference(gate, order);
    Band band = new Band(sweep.startHz(), sweep.endHz() / order);
    return new FrequencyResponse(band, order, rate, response, reference, (lead - centre) / rate);
  }

  /** Behind the linear response, as far before the harmonics as there is room. */
  private Optional<FrequencyResponse> noise(double[] quotient) {
    Gate gate = gate(1);
    double perFactor = sweep.secondsPerFactor() * sweep.sampleRateHz();
    int centre = (int) Math.ceil(gate.rightEnd() + gate.leftEnd());
    if (centre + gate.rightEnd() > length - HARMONICS_REACH * perFactor) {
      return Optional.empty();
    }
    double[] response = gate.cut(quotient, centre);
    Fft.forward(response);
    double[] reference = reference(gate, 1);
    Band band = new Band(sweep.startHz(), sweep.endHz());
    return Optional.of(
        new FrequencyResponse(band, 1, sweep.sampleRateHz(), response, reference, 0));
  }

  private synchronized double[] reference(Gate gate, int order) {
    double[] known = references.get(order);
    if (known == null) {
      known = gate.cut(wire, 0);
      Fft.forward(known);
      references.put(order, known);
    }
    return known;
  }
}
