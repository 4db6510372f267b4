package kitproof.board;

import java.time.Duration;
import java.time.Instant;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How fast units come off the benches, and what is left.
 *
 * @param perHour units per real hour over the latest units; null with fewer than two of them
 * @param left units still to come; null if the batch's size is unknown
 * @param remaining real time until the last of them; null if it cannot be told
 */
record Throughput(@Nullable Double perHour, @Nullable Integer left, @Nullable Duration remaining) {
  /** Enough to be steady, few enough that last night does not count. */
  private static final int LATEST = 12;

  /**
   * From when units ended.
   *
   * @param ended each unit's last end in bench time, the latest first
   * @param planned units in the batch; 0 if unknown
   * @param pace bench seconds per real second
   */
  static Throughput of(List<Instant> ended, int planned, double pace) {
    int used = Math.min(LATEST, ended.size());
    Double perHour = null;
    if (used >= 2) {
      double seconds = Duration.between(ended.get(used - 1), ended.get(0)).toMillis() / 1e3 / pace;
      perHour = seconds > 0 ? (used - 1) * 3600 / seconds : null;
    }
    if (planned <= 0) {
      return new Throughput(perHour, null, null);
    }
    int left = Math.max(0, planned - ended.size());
    Duration remaining =
        left == 0
            ? Duration.ZERO
            : perHour == null ? null : Duration.ofSeconds(Math.round(left * 3600 / perHour));
    return new Throughput(perHour, left, remaining);
  }
}
