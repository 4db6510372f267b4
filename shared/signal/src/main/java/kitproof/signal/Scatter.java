package kitproof.signal;

/**
 * How much readings that follow a smooth curve scatter about it, found without knowing the curve:
 * from their second differences, in which a straight line between neighbours is gone.
 *
 * @param deviation standard deviation of one reading, what bends within two steps included
 * @param degreesOfFreedom of it: neighbouring differences share readings, so that n of them count
 *     as n / 1.94 (from the autocorrelation of 1, -2, 1)
 */
public record Scatter(double deviation, double degreesOfFreedom) {
  private static final double SQUARES = 6;
  private static final double SHARED = 1 + 2 * (4.0 / 9 + 1.0 / 36);

  /** Of readings at about even steps, at least 3. */
  public static Scatter of(double[] readings) {
    Require.samples(readings, 3);
    double sum = 0;
    int count = readings.length - 2;
    for (int i = 0; i < count; i++) {
      double second = readings[i] - 2 * readings[i + 1] + readings[i + 2];
      sum += second * second;
    }
    return new Scatter(Math.sqrt(sum / count / SQUARES), count / SHARED);
  }
}
