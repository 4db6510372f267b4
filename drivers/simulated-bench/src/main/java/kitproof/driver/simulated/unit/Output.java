package kitproof.driver.simulated.unit;

/**
 * What is connected to one channel's output.
 *
 * @param tap which terminal
 * @param load ohms; infinite for none
 * @param capacitance farads across the load
 */
public record Output(Tap tap, double load, double capacitance) {
  /** The output terminals. */
  public enum Tap {
    FOUR,
    EIGHT,
    SIXTEEN
  }

  /** Whether nothing takes the power. */
  public boolean open() {
    return Double.isInfinite(load);
  }
}
