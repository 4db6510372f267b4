package kitproof.driver;

import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * Reads the full scale of an audio channel.
 *
 * <p>"40 V" is the rms voltage of a sine that just reaches full scale, as volts are rms everywhere
 * (AES17 calls that sine 0 dB FS); "40 V peak" is the voltage of the full-scale sample itself.
 */
public final class FullScale {
  /** What to tell someone who wrote something else. */
  public static final String EXPECTED = "volts above zero, such as \"40 V\" (rms) or \"56 V peak\"";

  private FullScale() {}

  /**
   * The peak voltage at digital full scale.
   *
   * @throws IllegalArgumentException with what was expected
   */
  public static double peakVolts(String text) {
    String stripped = text.strip();
    boolean peak = stripped.endsWith("peak");
    String volts = peak ? stripped.substring(0, stripped.length() - 4) : stripped;
    double value;
    try {
      value = Quantity.parse(volts, Unit.VOLT).value();
    } catch (IllegalArgumentException e) {
      throw new IllegalArgumentException(EXPECTED, e);
    }
    if (value <= 0) {
      throw new IllegalArgumentException(EXPECTED);
    }
    return peak ? value : value * Math.sqrt(2);
  }
}
