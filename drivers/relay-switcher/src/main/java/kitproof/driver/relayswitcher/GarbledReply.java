package kitproof.driver.relayswitcher;

import java.io.Serial;
import kitproof.driver.InstrumentException;

/** What came is no reply: noise on the line, or another unit's. What the board said is lost. */
final class GarbledReply extends InstrumentException {
  @Serial private static final long serialVersionUID = 1L;

  GarbledReply(String message) {
    super(Kind.PROTOCOL, message);
  }
}
