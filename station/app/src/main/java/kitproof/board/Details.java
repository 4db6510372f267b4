package kitproof.board;

import java.lang.ref.SoftReference;
import java.util.Arrays;
import java.util.List;
import java.util.zip.DataFormatException;
import java.util.zip.Deflater;
import java.util.zip.Inflater;
import org.jspecify.annotations.Nullable;

/**
 * The results of a run as they were told, packed to a tenth of their size, and read only when
 * somebody asks for them: a board that starts among thousands of runs needs their verdicts at once,
 * and the results of few.
 */
final class Details {
  private final byte[] packed;
  private final int length;
  private @Nullable SoftReference<List<Told.Held>> read;

  Details(byte[] payload) {
    length = payload.length;
    Deflater deflater = new Deflater(Deflater.BEST_SPEED);
    try {
      deflater.setInput(payload);
      deflater.finish();
      byte[] room = new byte[payload.length + 64];
      int size = 0;
      while (!deflater.finished()) {
        if (size == room.length) {
          room = Arrays.copyOf(room, 2 * room.length);
        }
        size += deflater.deflate(room, size, room.length - size);
      }
      packed = Arrays.copyOf(room, size);
    } finally {
      deflater.end();
    }
  }

  private byte[] payload() throws MalformedException {
    Inflater inflater = new Inflater();
    try {
      inflater.setInput(packed);
      byte[] payload = new byte[length];
      if (inflater.inflate(payload) != length) {
        throw new MalformedException("not what was packed");
      }
      return payload;
    } catch (DataFormatException e) {
      throw new IllegalStateException("what this program packed it can unpack", e);
    } finally {
      inflater.end();
    }
  }

  /** Bytes that are kept. */
  int size() {
    return packed.length;
  }

  /** The results; none if they are not what they should be. */
  List<Told.Held> results() {
    List<Told.Held> known = read == null ? null : read.get();
    if (known == null) {
      try {
        known = Wire.results(payload(), null);
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
      return Wire.results(payload(), name);
    } catch (MalformedException e) {
      return List.of();
    }
  }
}
