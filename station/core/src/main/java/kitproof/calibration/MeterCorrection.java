package kitproof.calibration;

import java.math.BigDecimal;
import java.math.MathContext;

/**
 * What is taken out of a meter's readings: the truth is the reading times the gain plus the offset.
 *
 * @param gain as a ratio
 * @param offset in the reading's plain unit
 */
public record MeterCorrection(double gain, double offset) {
  private static final MathContext DIGITS = new MathContext(7);

  /** The truth behind a reading, in its plain unit. */
  public double of(double reading) {
    return reading * gain + offset;
  }

  /** For people. */
  @Override
  public String toString() {
    return "×"
        + BigDecimal.valueOf(gain).round(DIGITS).stripTrailingZeros().toPlainString()
        + (offset == 0 ? "" : (offset < 0 ? " " : " +") + offset);
  }
}
