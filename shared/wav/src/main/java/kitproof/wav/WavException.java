package kitproof.wav;

import java.io.IOException;
import java.io.Serial;
import java.nio.file.Path;

/** A file is not a WAV file that can be read whole. */
public class WavException extends IOException {
  @Serial private static final long serialVersionUID = 1L;

  WavException(Path file, String found, String expected) {
    super(file + ": found " + found + "; expected " + expected);
  }
}
