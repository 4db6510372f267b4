package kitproof.board;

/**
 * What became of the messages.
 *
 * @param messages that came
 * @param malformed that were not what their topic says
 * @param oversized that were too large to be looked at
 * @param repeats that had been told before
 * @param forgotten runs given up for newer ones
 * @param refused that would have gone beyond a bound, such as the number of stations
 */
public record Count(
    long messages, long malformed, long oversized, long repeats, long forgotten, long refused) {
  static final Count NONE = new Count(0, 0, 0, 0, 0, 0);

  Count message() {
    return new Count(messages + 1, malformed, oversized, repeats, forgotten, refused);
  }

  Count malformedOne() {
    return new Count(messages, malformed + 1, oversized, repeats, forgotten, refused);
  }

  Count oversizedOne() {
    return new Count(messages, malformed, oversized + 1, repeats, forgotten, refused);
  }

  Count repeat() {
    return new Count(messages, malformed, oversized, repeats + 1, forgotten, refused);
  }

  Count forgot() {
    return new Count(messages, malformed, oversized, repeats, forgotten + 1, refused);
  }

  Count refusedOne() {
    return new Count(messages, malformed, oversized, repeats, forgotten, refused + 1);
  }
}
