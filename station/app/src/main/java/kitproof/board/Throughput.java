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

  /** A batch that would take longer has no end that is worth telling. */
  private static final Duration LONGEST = Duration.ofDays(366);

  /** A batch is late when for so many mean intervals no unit has finished, */
  private static final int LATE = 3;

  /** but not before this: what comes in turns leaves gaps. */
  private static final Duration PATIENCE = Duration.ofSeconds(30);

  /** More ends than this make no rate steadier. */
  static final int MOST = 3000;

  /**
   * From when units ended.
   *
   * @param ended the units' last ends by the calendar, the latest first, at most {@link #MOST}
   * @param finished how many units have ended
   * @param planned units in the batch; 0 if unknown
   */
  static Throughput of(List<Instant> ended, int finished, int planned) {
    int used = Math.min(LATEST, ended.size());
    while (used >= LATEST
        && used < ended.size()
        && Duration.between(ended.get(used), ended.get(0)).compareTo(WHILE) <= 0) {
      used++;
    }
    Double perHour = null;
    if (used >= 2) {
      double seconds = Duration.between(ended.get(used - 1), ended.get(0)).toMillis() / 1e3;
      perHour = seconds > 0 ? (used - 1) * 3600 / seconds : null;
    }
    if (planned <= 0) {
      return new Throughput(perHour, null, null);
    }
    int left = Math.max(0, planned - finished);
    double seconds = perHour == null ? Double.NaN : left * 3600.0 / perHour;
    Duration remaining =
        left == 0
            ? Duration.ZERO
            : seconds <= LONGEST.toSeconds() ? Duration.ofSeconds(Math.round(seconds)) : null;
    return new Throughput(perHour, left, remaining);
  }

  /** Whether a unit should have finished by now, this long after the one before it was heard of. */
  boolean late(Duration since) {
    return perHour != null
        && (left == null || left > 0)
        && since.compareTo(PATIENCE) > 0
        && since.toMillis() / 1e3 > LATE * 3600 / perHour;
  }
}
