package kitproof.signal;

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
  private final Band band;
  private final double binHz;
  private final int firstBin;
  private final Complex[] values;

  /** Values at {@code (firstBin + i)·binHz}, reaching at least over the band. */
  FrequencyResponse(Band band, double binHz, int firstBin, Complex[] values) {
    this.band = band;
    this.binHz = binHz;
    this.firstBin = firstBin;
    this.values = values;
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
    double position = hz / binHz - firstBin;
    int below = (int) Math.max(0, Math.min(values.length - 2.0, Math.floor(position)));
    double part = position - below;
    Complex from = values[below];
    Complex to = values[below + 1];
    if (from.abs() == 0 || to.abs() == 0) {
      return from.multiply(1 - part).add(to.multiply(part));
    }
    // Magnitude and angle apart: a delay turns the value between bins without changing its size.
    return from.multiply(to.divide(from).pow(part));
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

  /** Phase in degrees at rising frequencies, each within half a turn of the one before. */
  public Curve phase(double[] atHz) {
    double[] degrees = new double[atHz.length];
    for (int i = 0; i < degrees.length; i++) {
      double angle = phaseDegrees(atHz[i]);
      degrees[i] = i == 0 ? angle : angle + 360 * Math.rint((degrees[i - 1] - angle) / 360);
    }
    return Curve.of(Unit.HERTZ, atHz, Unit.DEGREE, degrees);
  }

  /** The same with a pure delay taken out, such as the audio interface's own. */
  public FrequencyResponse withoutDelay(double seconds) {
    Complex[] turned = new Complex[values.length];
    for (int i = 0; i < turned.length; i++) {
      double angle = 2 * Math.PI * (firstBin + i) * binHz * seconds;
      turned[i] = values[i].multiply(new Complex(Math.cos(angle), Math.sin(angle)));
    }
    return new FrequencyResponse(band, binHz, firstBin, turned);
  }
}
