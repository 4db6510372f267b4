package kitproof.driver.serial;

import java.time.Duration;
import kitproof.driver.InstrumentException;

/**
 * Bytes to and from an instrument; what they mean is known to {@link Conversation} and above.
 *
 * <p>Once lost or closed it stays so: every call throws UNREACHABLE, and a new one must be opened.
 * One thread sends and receives; {@link #close()} may come from another and frees it.
 */
public interface Line extends AutoCloseable {
  /** Sends all of it, or throws. */
  void send(byte[] bytes) throws InstrumentException;

  /**
   * What has arrived, or the first bytes that arrive within the time.
   *
   * @param atMost how long to wait when nothing has arrived; zero does not wait
   * @return empty if nothing came
   * @throws InstrumentException UNREACHABLE if the line is lost or closed
   */
  byte[] receive(Duration atMost) throws InstrumentException;

  /** Lets go. Never throws; the second call does nothing. */
  @Override
  void close();
}
