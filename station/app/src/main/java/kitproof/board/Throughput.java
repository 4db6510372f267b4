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

  /** Of many stations all units of this while, or their coming in turns would show as jumps. */
  private static final Duration WHILE = Duration.ofMinutes(10);

  /** More ends than this make no rate steadier. */
  static final int MOST = 3000;

  /**
   * From when units ended.
   *
   * @param ended the units' last ends in bench time, the latest first, at most {@link #MOST}
   * @param finished how many units have ended
   * @param planned units in the batch; 0 if unknown
   * @param pace bench seconds per real second
   */
  static Throughput of(List<Instant> ended, int finished, int planned, double pace) {
    int used = Math.min(LATEST, ended.size());
    while (used >= LATEST
        && used < ended.size()
        && Duration.between(ended.get(used), ended.get(0)).toMillis() <= WHILE.toMillis() * pace) {
      used++;
    }
    Double perHour = null;
    if (used >= 2) {
      double seconds = Duration.between(ended.get(used - 1), ended.get(0)).toMillis() / 1e3 / pace;
      perHour = seconds > 0 ? (used - 1) * 3600 / seconds : null;
    }
    if (planned <= 0) {
      return new Throughput(perHour, null, null);
    }
    int left = Math.max(0, planned - finished);
    Duration remaining =
        left == 0
            ? Duration.ZERO
            : perHour == null ? null : Duration.ofSeconds(Math.round(left * 3600 / perHour));
    return new Throughput(perHour, left, remaining);
  }
}
