package kitproof.driver.serial;

import java.time.Duration;

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

  /** A start bit, the data bits, parity and stop bits at the stated rate. */
  Duration characterTime() {
    int bits = 1 + dataBits + (parity == Parity.NONE ? 0 : 1) + stopBits;
    return Duration.ofNanos(bits * 1_000_000_000L / baud);
  }
}
