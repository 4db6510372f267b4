package kitproof.wav;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import javax.sound.sampled.AudioFileFormat;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioInputStream;
import javax.sound.sampled.AudioSystem;

/**
 * Writes the plain form, which every program reads, by the JDK's writer, a piece at a time.
 *
 * <p>That leaves out the byte that makes the samples' chunk even, as RIFF wants of every chunk; it
 * is added here. It also leaves out the number of frames that a file of floats may tell in a chunk
 * of its own; readers count what is there.
 */
final class WavWriter {
  /** RIFF tells sizes in 32 bits; the JDK reckons with 31 of them. */
  private static final long MOST_BYTES = Integer.MAX_VALUE - 1024L;

  private static final int SIZE_OF_RIFF = 4;

  private WavWriter() {}

  static void write(WavFile wav, Path file) throws IOException {
    WavEncoding encoding = wav.encoding();
    int frame = encoding.bytes() * wav.channels();
    long data = (long) frame * wav.length();
    if (data > MOST_BYTES) {
      throw new IOException(file + ": " + data + " bytes of samples are too many for a WAV file");
    }
    AudioFormat format =
        new AudioFormat(
            encoding.format(),
            wav.sampleRateHz(),
            encoding.bits(),
            wav.channels(),
            frame,
            wav.sampleRateHz(),
            false);
    try (AudioInputStream samples = new AudioInputStream(new Frames(wav), format, wav.length());
        OutputStream out = new BufferedOutputStream(Files.newOutputStream(file))) {
      AudioSystem.write(samples, AudioFileFormat.Type.WAVE, out);
      if (data % 2 != 0) {
        out.write(0);
      }
    }
    if (data % 2 != 0) {
      countThePadding(file);
    }
  }

  private static void countThePadding(Path file) throws IOException {
    try (RandomAccessFile written = new RandomAccessFile(file.toFile(), "rw")) {
      written.seek(SIZE_OF_RIFF);
      written.writeInt(Integer.reverseBytes((int) written.length() - SIZE_OF_RIFF - 4));
    }
  }

  /** The samples as they lie in the file, made as they are asked for. */
  private static final class Frames extends InputStream {
    private static final int AT_ONCE = 4096;

    private final WavFile wav;
    private final ByteBuffer bytes;
    private int next;

    Frames(WavFile wav) {
      this.wav = wav;
      bytes =
          ByteBuffer.allocate(AT_ONCE * wav.encoding().bytes() * wav.channels())
              .order(ByteOrder.LITTLE_ENDIAN)
              .flip();
    }

    private boolean ended() {
      if (!bytes.hasRemaining() && next < wav.length()) {
        bytes.clear();
        for (int end = Math.min(wav.length(), next + AT_ONCE); next < end; next++) {
          for (int c = 0; c < wav.channels(); c++) {
            wav.encoding().put(bytes, wav.at(c, next));
          }
        }
        bytes.flip();
      }
      return !bytes.hasRemaining();
    }

    @Override
    public int read() {
      return ended() ? -1 : bytes.get() & 0xff;
    }

    @Override
    public int read(byte[] into, int from, int count) {
      if (ended()) {
        return -1;
      }
      int given = Math.min(count, bytes.remaining());
      bytes.get(into, from, given);
      return given;
    }
  }
}
