package kitproof.wav;

import java.io.BufferedInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.Arrays;
import org.jflac.ChannelData;
import org.jflac.FLACDecoder;
import org.jflac.frame.Frame;
import org.jflac.metadata.StreamInfo;

/**
 * Reads FLAC (RFC 9639) of up to 24 bits whole, and holds it against the digest of its samples that
 * the file carries, as the library does not.
 */
final class FlacReader {
  private static final byte[] MARK = "fLaC".getBytes(StandardCharsets.US_ASCII);
  private static final int MOST_BITS = 24;

  /** Where the digest stands: behind the mark, a block's head and 18 bytes of its content. */
  private static final int DIGEST_AT = 4 + 4 + 18;

  private static final int DIGEST_BYTES = 16;

  private FlacReader() {}

  /** Whether a file begins as one. */
  static boolean marks(Path file) throws IOException {
    try (InputStream in = Files.newInputStream(file)) {
      return Arrays.equals(in.readNBytes(MARK.length), MARK);
    }
  }

  static WavFile read(Path file) throws IOException {
    byte[] told = toldDigest(file);
    MessageDigest digest = md5();
    try (InputStream in = new BufferedInputStream(Files.newInputStream(file), 1 << 16)) {
      FLACDecoder decoder = new FLACDecoder(in);
      StreamInfo info = info(file, decoder);
      double[][] samples = new double[info.getChannels()][frames(file, info)];
      int read = 0;
      while (read < samples[0].length) {
        read += frame(file, decoder, info, samples, read, digest);
      }
      if (!MessageDigest.isEqual(told, new byte[DIGEST_BYTES]) // an encoder need not tell it
          && !MessageDigest.isEqual(told, digest.digest())) {
        throw new WavException(
            file, "samples that are not those it was made of", "the digest it carries");
      }
      return new WavFile(
          info.getBitsPerSample() <= WavEncoding.PCM_16.bits()
              ? WavEncoding.PCM_16
              : WavEncoding.PCM_24,
          info.getSampleRate(),
          samples);
    }
  }

  private static StreamInfo info(Path file, FLACDecoder decoder) throws IOException {
    try {
      decoder.readMetadata();
    } catch (IOException | RuntimeException e) { // the library's words for a broken file are many
      throw new WavException(file, "a head that cannot be read", "that of a FLAC file");
    }
    StreamInfo info = decoder.getStreamInfo();
    if (info == null || info.getChannels() < 1 || info.getSampleRate() < 1) {
      throw new WavException(file, "no channels or no rate", "at least one channel and a rate");
    }
    if (info.getBitsPerSample() > MOST_BITS) {
      throw new WavException(
          file, info.getBitsPerSample() + "-bit FLAC", "up to " + MOST_BITS + " bits");
    }
    return info;
  }

  private static int frames(Path file, StreamInfo info) throws IOException {
    long frames = info.getTotalSamples();
    if (frames < 1 || frames > Integer.MAX_VALUE - 8) {
      throw new WavException(
          file, frames + " frames told", "how many there are, fewer than two thousand million");
    }
    return (int) frames;
  }

  /** One block of the file; how many samples of each channel it has. */
  private static int frame(
      Path file,
      FLACDecoder decoder,
      StreamInfo info,
      double[][] samples,
      int from,
      MessageDigest digest)
      throws IOException {
    Frame frame;
    try {
      frame = decoder.readNextFrame();
    } catch (IOException | RuntimeException e) {
      throw cutShort(file, from, samples[0].length);
    }
    if (frame == null || decoder.getBadFrames() > 0) {
      throw cutShort(file, from, samples[0].length);
    }
    int count = frame.header.blockSize;
    if (frame.header.channels != samples.length
        || frame.header.bitsPerSample != info.getBitsPerSample()
        || count < 1
        || count > samples[0].length - from) {
      throw new WavException(
          file, "a block at frame " + from + " that is unlike the others", "one form all through");
    }
    ChannelData[] channels = decoder.getChannelData();
    int bytes = (info.getBitsPerSample() + 7) / 8;
    double scale = Math.scalb(1.0, info.getBitsPerSample() - 1);
    byte[] stored = new byte[count * samples.length * bytes];
    for (int c = 0; c < samples.length; c++) {
      int[] codes = channels[c].getOutput();
      for (int i = 0; i < count; i++) {
        samples[c][from + i] = codes[i] / scale;
        for (int b = 0; b < bytes; b++) {
          stored[(i * samples.length + c) * bytes + b] = (byte) (codes[i] >> (8 * b));
        }
      }
    }
    digest.update(stored);
    return count;
  }

  private static WavException cutShort(Path file, int after, int of) {
    return new WavException(
        file, "a file that ends or is broken after frame " + after, of + " frames");
  }

  private static byte[] toldDigest(Path file) throws IOException {
    try (InputStream in = Files.newInputStream(file)) {
      byte[] head = in.readNBytes(DIGEST_AT + DIGEST_BYTES);
      if (head.length < DIGEST_AT + DIGEST_BYTES) {
        throw new WavException(
            file, "a file that ends in its head", (DIGEST_AT + DIGEST_BYTES) + " bytes of it");
      }
      return Arrays.copyOfRange(head, DIGEST_AT, DIGEST_AT + DIGEST_BYTES);
    }
  }

  private static MessageDigest md5() {
    try {
      return MessageDigest.getInstance("MD5"); // the format's own; no secret hangs on it
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has MD5", e);
    }
  }
}
