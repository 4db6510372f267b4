package kitproof.signal;

import java.util.function.DoubleFunction;
import kitproof.value.Curve;
import kitproof.value.Unit;
import org.apache.commons.math3.complex.Complex;

/**
 * Complex output over input against the frequency of the exciting tone.
 *
 * <p>For a harmonic, output means that harmonic alone, at its multiple of the frequency, and its
 * phase is that relative to a sine that starts with the exciting one.
 */
public final class FrequencyResponse {
  /** A delay of 5 ms turns the phase by half a turn over this. */
  private static final double PHASE_STEP_HERTZ = 100;

  private final Band band;
  private final int order;
  private final double rate;
  private final double[] response;
  private final double[] wire;
  private final double leadSeconds;

  /**
   * Both spectra as {@link Fft} packs them; their quotient is the response.
   *
   * @param order 1 for the linear response, else the harmonic's
   * @param wire what a wire gives through the same gate
   * @param leadSeconds to turn every value back by
   */
  FrequencyResponse(
      Band band, int order, double rate, double[] response, double[] wire, double leadSeconds) {
    this.band = band;
    this.order = order;
    this.rate = rate;
    this.response = response;
    this.wire = wire;
    this.leadSeconds = leadSeconds;
  }

  /** Where it is known. */
  public Band band() {
    return band;
  }

  /**
   * Output over input.
   *
   * @throws IllegalArgumentException outside {@link #band()}
   */
  public Complex at(double hz) {
    if (!band.contains(hz)) {
      throw new IllegalArgumentException(hz + " Hz is outside " + band);
    }
    double position = order * hz / rate * response.length;
    int below = (int) Math.floor(position);
    double part = position - below;
    Complex from = value(below);
    Complex to = value(below + 1);
    if (from.abs() == 0 || to.abs() == 0) {
      return from.multiply(1 - part).add(to.multiply(part));
    }
    // Magnitude and angle apart: a delay turns the value between bins without changing its size.
    return from.multiply(to.divide(from).pow(part));
  }

  /** The same with another size and phase. */
  public DoubleFunction<Complex> changed(double relative, double radians) {
    Complex by = new Complex(Math.cos(radians), Math.sin(radians)).multiply(1 + relative);
    return hz -> at(hz).multiply(by);
  }

  /** The size of output over input, as a ratio. */
  public double gain(double hz) {
    return at(hz).abs();
  }

  public double gainDb(double hz) {
    return Levels.db(at(hz).abs());
  }

  /** Degrees from -180 to 180, the device's delay included. */
  public double phaseDegrees(double hz) {
    return Math.toDegrees(at(hz).getArgument());
  }

  /**
   * Gain in dB at rising frequencies.
   *
   * @throws IllegalArgumentException where there is no output at all, too: no decibels of nothing
   */
  public Curve magnitudeDb(double[] atHz) {
    double[] db = new double[atHz.length];
    for (int i = 0; i < db.length; i++) {
      db[i] = gainDb(atHz[i]);
    }
    return Curve.of(Unit.HERTZ, atHz, Unit.DECIBEL, db);
  }

  /**
   * Phase in degrees at rising frequencies, followed from each to the next in small steps, so that
   * turns are counted however far apart the points are: for delays up to some milliseconds.
   */
  public Curve phase(double[] atHz) {
    double[] degrees = new double[atHz.length];
    for (int i = 0; i < degrees.length; i++) {
      if (i == 0) {
        degrees[0] = phaseDegrees(atHz[0]);
        continue;
      }
      double followed = degrees[i - 1];
      double span = atHz[i] - atHz[i - 1];
      int steps = (int) Math.max(1, Math.ceil(span / PHASE_STEP_HERTZ));
      for (int step = 1; step <= steps; step++) {
        double hz = step == steps ? atHz[i] : atHz[i - 1] + span * step / steps;
        double angle = phaseDegrees(hz);
        followed = angle + 360 * Math.rint((followed - angle) / 360);
      }
      degrees[i] = followed;
    }
    return Curve.of(Unit.HERTZ, atHz, Unit.DEGREE, degrees);
  }

  /** The same with a pure delay taken out, such as the audio interface's own. */
  public FrequencyResponse withoutDelay(double seconds) {
    return new FrequencyResponse(band, order, rate, response, wire, leadSeconds + seconds);
  }

  private Complex value(int bin) {
    double angle = 2 * Math.PI * bin * rate / response.length * leadSeconds;
    return new Complex(Fft.re(response, bin), Fft.im(response, bin))
        .divide(new Complex(Fft.re(wire, bin), Fft.im(wire, bin)))
        .multiply(new Complex(Math.cos(angle), Math.sin(angle)));
  }
}
