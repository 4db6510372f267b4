package kitproof.wav;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import net.sourceforge.javaflacencoder.EncodingConfiguration;
import net.sourceforge.javaflacencoder.FLACEncoder;
import net.sourceforge.javaflacencoder.FLACOutputStream;
import net.sourceforge.javaflacencoder.StreamConfiguration;

/**
 * Writes FLAC (RFC 9639) of 16 or 24 bits, a block at a time.
 *
 * <p>The library is kept off two ways of its own: with blocks of a few samples it fails, and with
 * the choice of every predictor it prints to the terminal. So blocks are never short, but in a file
 * that is, which is stored as it is, and only fixed predictors are tried.
 */
final class FlacWriter {
  static final int MOST_CHANNELS = 8;
  static final int HIGHEST_RATE_HZ = 655_350;

  /** As the reference encoder's at 48 kHz; the format's streamable subset allows up to 4608. */
  private static final int BLOCK = 4096;

  private static final int LEAST = 64;

  private FlacWriter() {}

  static void write(WavFile samples, Path file) throws IOException {
    try {
      encode(samples, file);
    } catch (RuntimeException e) { // a mistake of the library's is no reason to end a run
      throw new IOException(file + ": the FLAC library failed: " + e, e);
    }
  }

  private static void encode(WavFile samples, Path file) throws IOException {
    int channels = samples.channels();
    int bits = samples.encoding() == WavEncoding.PCM_16 ? 16 : 24;
    if (channels > MOST_CHANNELS || samples.sampleRateHz() > HIGHEST_RATE_HZ) {
      throw new IOException(
          file
              + ": found "
              + channels
              + " channels at "
              + samples.sampleRateHz()
              + " Hz; FLAC holds up to "
              + MOST_CHANNELS
              + " at up to "
              + HIGHEST_RATE_HZ
              + " Hz");
    }
    int length = samples.length();
    if (length == 0) {
      throw new IOException(file + ": found no samples; FLAC holds one or more");
    }
    int block = block(length);
    FLACEncoder encoder = new FLACEncoder();
    StreamConfiguration stream =
        new StreamConfiguration(channels, block, block, samples.sampleRateHz(), bits);
    EncodingConfiguration way = new EncodingConfiguration();
    way.setSubframeType(
        length < LEAST
            ? EncodingConfiguration.SubframeType.VERBATIM
            : EncodingConfiguration.SubframeType.FIXED);
    if (!encoder.setStreamConfiguration(stream) || !encoder.setEncodingConfiguration(way)) {
      throw new IllegalStateException("the encoder refuses " + channels + " x " + bits + " bits");
    }
    try (FileChannel channel =
        FileChannel.open(
            file,
            StandardOpenOption.CREATE,
            StandardOpenOption.WRITE,
            StandardOpenOption.TRUNCATE_EXISTING)) {
      encoder.setOutputStream(new Out(channel));
      encoder.openFLACStream();
      int[] codes = new int[block * channels];
      for (int from = 0; from < length; from += block) {
        int count = Math.min(block, length - from);
        for (int i = 0; i < count; i++) {
          for (int c = 0; c < channels; c++) {
            codes[i * channels + c] = WavEncoding.code(samples.at(c, from + i), bits);
          }
        }
        encoder.addSamples(codes, count);
        boolean last = from + count == length;
        if (encoder.encodeSamples(count, last) != count && !last) {
          throw new IOException(file + ": the encoder did not take a block of " + count);
        }
      }
    }
  }

  /** A length of blocks with which the last one is not a short one, nor as long as the others. */
  private static int block(int length) {
    int block = BLOCK;
    while (length >= LEAST && length % block < LEAST) {
      block++;
    }
    return block;
  }

  /** The file; its head is written once more in the end, when its digest is known. */
  private record Out(FileChannel channel) implements FLACOutputStream {
    @Override
    public long seek(long to) throws IOException {
      channel.position(to);
      return to;
    }

    @Override
    public int write(byte[] bytes, int from, int count) throws IOException {
      ByteBuffer rest = ByteBuffer.wrap(bytes, from, count);
      while (rest.hasRemaining()) {
        channel.write(rest);
      }
      return count;
    }

    @Override
    public void write(byte one) throws IOException {
      write(new byte[] {one}, 0, 1);
    }

    @Override
    public long size() {
      return asked(channel::size);
    }

    @Override
    public boolean canSeek() {
      return true;
    }

    @Override
    public long getPos() {
      return asked(channel::position);
    }

    private interface Asked {
      long ask() throws IOException;
    }

    /** The library has no way to say that asking failed; writing says it then. */
    private static long asked(Asked what) {
      try {
        return what.ask();
      } catch (IOException e) {
        return 0;
      }
    }
  }
}
