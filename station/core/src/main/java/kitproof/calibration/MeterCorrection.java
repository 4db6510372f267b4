package kitproof.calibration;

/**
 * What is taken out of a meter's readings: the truth is the reading times the gain plus the offset.
 *
 * @param gain as a ratio
 * @param offset in the reading's plain unit
 */
public record MeterCorrection(double gain, double offset) {
  /** The truth behind a reading, in its plain unit. */
  public double of(double reading) {
    return reading * gain + offset;
  }

  /** For people. */
  @Override
  public String toString() {
    return "×" + gain + (offset == 0 ? "" : (offset < 0 ? " " : " +") + offset);
  }
}
