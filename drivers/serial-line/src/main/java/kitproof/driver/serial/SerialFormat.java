package kitproof.driver.serial;

/**
 * How characters look on a serial line.
 *
 * @param baud bits per second
 * @param dataBits 7 or 8
 * @param parity what is added to them
 * @param stopBits 1 or 2
 */
public record SerialFormat(int baud, int dataBits, Parity parity, int stopBits) {
  /** The parity bit. */
  public enum Parity {
    NONE("none"),
    EVEN("even"),
    ODD("odd");

    private final String word;

    Parity(String word) {
      this.word = word;
    }

    /** The word in bench files. */
    @Override
    public String toString() {
      return word;
    }
  }
}
