package kitproof.web;

import java.time.Duration;
import java.time.Instant;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Supplier;

/**
 * The latest answers, each for as long as it holds: many browsers ask the same after each change,
 * and it is put together once, by the first of them; the others wait for it.
 *
 * @param <K> what is asked
 */
final class Remembered<K> {
  /**
   * Pages that are looked at at the same time are few; each answer may be some hundred kilobytes.
   */
  static final int MOST = 8;

  /** What was answered, and how old it is. */
  private record Told(long version, Instant at, String json) {
    boolean holds(long now, Instant time, Duration longest) {
      return version >= now && Duration.between(at, time).abs().compareTo(longest) <= 0;
    }
  }

  private final Duration longest;
  private final Map<K, Told> told = new ConcurrentHashMap<>();

  /**
   * None yet.
   *
   * @param longest how long an answer may hold although nothing is told
   */
  Remembered(Duration longest) {
    this.longest = longest;
  }

  /**
   * The answer.
   *
   * @param version of what is asked about, as it is now
   * @param fresh makes it anew
   */
  String answer(K asked, long version, Instant now, Supplier<String> fresh) {
    if (told.size() >= MOST && !told.containsKey(asked)) {
      told.clear();
    }
    return told.compute(
            asked,
            (key, known) ->
                known != null && known.holds(version, now, longest)
                    ? known
                    : new Told(version, now, fresh.get()))
        .json;
  }
}
