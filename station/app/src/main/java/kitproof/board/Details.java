package kitproof.board;

import java.lang.ref.SoftReference;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The results of a run as they were told, read only when somebody asks for them: a board that
 * starts among thousands of runs needs their verdicts at once, and the results of few.
 */
final class Details {
  private final byte[] payload;
  private @Nullable SoftReference<List<Told.Held>> read;

  Details(byte[] payload) {
    this.payload = payload;
  }

  /** Bytes that are kept. */
  int size() {
    return payload.length;
  }

  /** The results; none if they are not what they should be. */
  List<Told.Held> results() {
    List<Told.Held> known = read == null ? null : read.get();
    if (known == null) {
      try {
        known = Wire.results(payload, null);
      } catch (MalformedException e) {
        known = List.of();
      }
      read = new SoftReference<>(known);
    }
    return known;
  }

  /** The results of this name; none if they are not what they should be. */
  List<Told.Held> results(String name) {
    try {
      return Wire.results(payload, name);
    } catch (MalformedException e) {
      return List.of();
    }
  }
}
