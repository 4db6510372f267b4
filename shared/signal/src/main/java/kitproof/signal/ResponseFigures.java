package kitproof.signal;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import kitproof.value.Curve;
import kitproof.value.Unit;

/** Figures read off a response curve (dB against Hz), and the frequencies to draw one at. */
public final class ResponseFigures {
  /** The R10 series of ISO 3, the third-octave frequencies of ISO 266 in one decade. */
  private static final double[] R10 = {1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8};

  private ResponseFigures() {}

  /**
   * Level at a frequency, on the straight line between points over a logarithmic axis.
   *
   * @throws IllegalArgumentException outside the curve
   */
  public static double levelDb(Curve curve, double hz) {
    int above = 0;
    while (above < curve.size() && curve.x(above) < hz) {
      above++;
    }
    if (above == curve.size() || (above == 0 && curve.x(0) != hz)) {
      throw new IllegalArgumentException(hz + " Hz is outside " + curve);
    }
    if (curve.x(above) == hz) {
      return curve.y(above);
    }
    double part = Math.log(hz / curve.x(above - 1)) / Math.log(curve.x(above) / curve.x(above - 1));
    return curve.y(above - 1) + part * (curve.y(above) - curve.y(above - 1));
  }

  /** The curve moved so that it is 0 dB at the reference frequency. */
  public static Curve relativeTo(Curve curve, double referenceHz) {
    double reference = levelDb(curve, referenceHz);
    double[] db = curve.ys();
    for (int i = 0; i < db.length; i++) {
      db[i] -= reference;
    }
    return Curve.of(curve.xUnit(), curve.xs(), Unit.DECIBEL, db);
  }

  /**
   * The first frequency, going down from the reference, at which the level has dropped this far.
   *
   * @param dropDb above zero, 3 for the usual corner
   * @return empty if the curve ends before
   */
  public static OptionalDouble lowerCornerHz(Curve curve, double dropDb, double referenceHz) {
    return cornerHz(curve, dropDb, referenceHz, -1);
  }

  /** As {@link #lowerCornerHz}, going up. */
  public static OptionalDouble upperCornerHz(Curve curve, double dropDb, double referenceHz) {
    return cornerHz(curve, dropDb, referenceHz, 1);
  }

  private static OptionalDouble cornerHz(Curve curve, double dropDb, double referenceHz, int step) {
    Require.positive("drop", dropDb);
    double edge = levelDb(curve, referenceHz) - dropDb;
    double hz = referenceHz;
    double db = edge + dropDb;
    int first = 0;
    while (first < curve.size() && curve.x(first) <= referenceHz) {
      first++;
    }
    for (int i = step > 0 ? first : first - 1; i >= 0 && i < curve.size(); i += step) {
      if (curve.y(i) <= edge) {
        double part = (edge - db) / (curve.y(i) - db);
        return OptionalDouble.of(hz * Math.pow(curve.x(i) / hz, part));
      }
      hz = curve.x(i);
      db = curve.y(i);
    }
    return OptionalDouble.empty();
  }

  /**
   * Frequencies evenly spaced on a logarithmic axis, both ends included.
   *
   * @param pointsPerOctave at least this many
   */
  public static double[] logSpaced(double lowHz, double highHz, int pointsPerOctave) {
    Require.positive("lowest frequency", lowHz);
    if (!(highHz > lowHz) || pointsPerOctave < 1) {
      throw new IllegalArgumentException(
          pointsPerOctave + " points per octave from " + lowHz + " Hz to " + highHz + " Hz");
    }
    double octaves = Math.log(highHz / lowHz) / Math.log(2);
    int steps = (int) Math.max(1, Math.ceil(octaves * pointsPerOctave - 1e-9));
    double[] hz = new double[steps + 1];
    for (int i = 0; i <= steps; i++) {
      hz[i] = lowHz * Math.pow(highHz / lowHz, (double) i / steps);
    }
    hz[steps] = highHz;
    return hz;
  }

  /** The nominal third-octave frequencies (ISO 266) from lowest to highest, both included. */
  public static double[] thirdOctaves(double lowHz, double highHz) {
    Band band = new Band(lowHz, highHz);
    Require.positive("lowest frequency", lowHz);
    List<Double> hz = new ArrayList<>();
    for (int decade = (int) Math.floor(Math.log10(lowHz)); Math.pow(10, decade) <= highHz; ) {
      for (double preferred : R10) {
        // Divided where it can be: 3.15/10 is the nearest double to 0.315, 3.15·0.1 is not.
        double nominal =
            decade < 0 ? preferred / Math.pow(10, -decade) : preferred * Math.pow(10, decade);
        if (band.contains(nominal)) {
          hz.add(nominal);
        }
      }
      decade++;
    }
    return hz.stream().mapToDouble(Double::doubleValue).toArray();
  }

  /**
   * A phase curve, degrees, moved by whole turns so that in the middle of its points it lies from
   * -90 to 270: an inverted signal reads 180 and not, by chance, -180.
   */
  public static Curve placedPhase(Curve phase) {
    double[] degrees = phase.ys();
    double turns = Math.floor((degrees[degrees.length / 2] + 90) / 360);
    for (int i = 0; i < degrees.length; i++) {
      degrees[i] -= 360 * turns;
    }
    return Curve.of(phase.xUnit(), phase.xs(), phase.yUnit(), degrees);
  }
}
