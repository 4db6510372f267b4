package kitproof.signal;

import java.util.OptionalDouble;

/**
 * What a captured pair of tones f1 and f2 is made of. Ratios are plain numbers: 0.01 is 1 %.
 *
 * <p>Difference-frequency and modulation distortion are those of IEC 60268-3; the definitions are
 * from memory of the standard.
 */
public final class IntermodulationFigures {
  private final Lines lines;
  private final Places places;

  /** Rms of the line at {@code |low·f1 + high·f2|}, if it can be told. */
  interface Lines {
    OptionalDouble volts(int low, int high);
  }

  /** Where that line lies, Hz. */
  interface Places {
    double hz(int low, int high);
  }

  IntermodulationFigures(Lines lines, Places places) {
    this.lines = lines;
    this.places = places;
  }

  /** Of a spectrum on whose bins both tones lie. */
  IntermodulationFigures(TwoTone tones, Spectrum spectrum) {
    this(
        (low, high) -> {
          int bin = bin(tones, low, high);
          return bin == 0 || 2 * bin >= tones.blockLength()
              ? OptionalDouble.empty()
              : OptionalDouble.of(spectrum.volts(bin));
        },
        (low, high) -> spectrum.frequencyHz(bin(tones, low, high)));
  }

  private static int bin(TwoTone tones, int low, int high) {
    return Math.abs(low * tones.lowCycles() + high * tones.highCycles());
  }

  /** Rms of the lower tone, f1. */
  public double lowVolts() {
    return lines.volts(1, 0).orElseThrow();
  }

  /** Rms of the higher tone, f2. */
  public double highVolts() {
    return lines.volts(0, 1).orElseThrow();
  }

  /** Rms of the sine whose peak is that of both tones together. */
  public double equivalentSineVolts() {
    return lowVolts() + highVolts();
  }

  /**
   * Rms of a product of both tones, {@code |low·f1 + high·f2|}.
   *
   * @param low -1 and 1 for the second-order product at f2 - f1
   * @return empty if it lies at 0 Hz, or at or above half the sample rate
   */
  public OptionalDouble productVolts(int low, int high) {
    return lines.volts(low, high);
  }

  /** Where a product lies, Hz. */
  public double productHz(int low, int high) {
    return places.hz(low, high);
  }

  /**
   * U(f2 - f1) over the sum of both tones, which is 2·U(f2) for equal ones: the second-order
   * difference-frequency distortion.
   */
  public double secondOrderDifference() {
    return productVolts(-1, 1).orElseThrow() / equivalentSineVolts();
  }

  /**
   * U(2f1 - f2) + U(2f2 - f1) over the sum of both tones: the third-order difference-frequency
   * distortion.
   *
   * @return empty if one of the pair lies at or above half the sample rate
   */
  public OptionalDouble thirdOrderDifference() {
    return sum(productVolts(2, -1), productVolts(-1, 2), equivalentSineVolts());
  }

  /** U(f2 - f1) + U(f2 + f1) over U(f2): the second-order modulation distortion. */
  public OptionalDouble secondOrderModulation() {
    return sum(productVolts(-1, 1), productVolts(1, 1), highVolts());
  }

  /** U(f2 - 2f1) + U(f2 + 2f1) over U(f2): the third-order modulation distortion. */
  public OptionalDouble thirdOrderModulation() {
    return sum(productVolts(-2, 1), productVolts(2, 1), highVolts());
  }

  /**
   * Rms of the higher tone's modulation by f1 and 2·f1 over the higher tone: the percentage of
   * amplitude modulation of SMPTE RP 120, if each pair of sidebands is amplitude modulation.
   */
  public OptionalDouble modulation() {
    OptionalDouble second = secondOrderModulation();
    OptionalDouble third = thirdOrderModulation();
    return second.isPresent() && third.isPresent()
        ? OptionalDouble.of(Math.hypot(second.getAsDouble(), third.getAsDouble()))
        : OptionalDouble.empty();
  }

  private static OptionalDouble sum(OptionalDouble one, OptionalDouble other, double over) {
    return one.isPresent() && other.isPresent()
        ? OptionalDouble.of((one.getAsDouble() + other.getAsDouble()) / over)
        : OptionalDouble.empty();
  }
}
