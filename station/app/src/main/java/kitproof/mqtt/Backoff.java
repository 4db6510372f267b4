package kitproof.mqtt;

import java.time.Duration;

/**
 * How long to leave a broker alone after a failure: twice as long each time, up to a bound.
 *
 * @param first after the first failure
 * @param longest the bound
 */
record Backoff(Duration first, Duration longest) {
  static final Backoff USUAL = new Backoff(Duration.ofMillis(250), Duration.ofSeconds(8));

  /**
   * The pause before the next attempt.
   *
   * @param failures in a row, at least 1
   */
  Duration after(int failures) {
    long factor = 1L << Math.min(failures - 1, 30);
    Duration pause = first.multipliedBy(factor);
    return pause.compareTo(longest) < 0 ? pause : longest;
  }
}
