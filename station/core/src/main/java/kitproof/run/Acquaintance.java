package kitproof.run;

import java.time.Duration;
import kitproof.driver.InstrumentException;

/**
 * When an instrument was last known to be the one that was opened. Somebody may put another in its
 * place between two readings, with no answer lost; a reading therefore counts only if the
 * instrument was recognised before it and after it.
 *
 * <p>Knows no instrument and no clock; safe for several threads.
 */
final class Acquaintance {
  /** Nobody exchanges an instrument within less. */
  static final Duration NO_EXCHANGE = Duration.ofSeconds(1);

  /** A long row of readings is interrupted for it, so that an interlock's is not another's long. */
  static final Duration AMID_READINGS = Duration.ofSeconds(10);

  private long recognised;
  private long readings;
  private long readingsThen;

  /** Asks the instrument. */
  interface Asking {
    void recognise() throws InstrumentException;
  }

  Acquaintance(long openedNanos) {
    this.recognised = openedNanos;
  }

  /** Before a reading, or before a step uses it: asks if the last time is longer ago than this. */
  void ifOlder(Duration age, long now, Asking asking) throws InstrumentException {
    if (age(now) >= age.toNanos()) {
      ask(now, asking);
    }
  }

  /** Asks if it has been read since the last time. */
  void ifRead(long now, Asking asking) throws InstrumentException {
    if (hasBeenRead()) {
      ask(now, asking);
    }
  }

  /** A reading of it is asked for. */
  synchronized void read() {
    readings++;
  }

  private synchronized boolean hasBeenRead() {
    return readings > readingsThen;
  }

  private synchronized long age(long now) {
    return now - recognised;
  }

  private synchronized long readings() {
    return readings;
  }

  /** Asks, however short ago the last time is. */
  void ask(long now, Asking asking) throws InstrumentException {
    long before = readings(); // one that is asked for meanwhile may be answered after this
    asking.recognise();
    synchronized (this) {
      recognised = now;
      readingsThen = before;
    }
  }
}
