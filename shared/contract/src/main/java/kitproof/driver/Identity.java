package kitproof.driver;

/**
 * Who an instrument is.
 *
 * @param maker as it says itself; empty if it cannot say
 * @param model as it says itself
 * @param serial serial number; empty if it cannot say
 * @param firmware empty if it cannot say
 */
public record Identity(String maker, String model, String serial, String firmware) {
  /** The parts that are known, for people. */
  @Override
  public String toString() {
    return String.join(" ", maker, model, serial, firmware).strip().replaceAll(" +", " ");
  }
}
