package kitproof.wav;

import java.io.BufferedInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * What a file's chunks say of it, looked at before the JDK's reader is trusted with the samples.
 *
 * <p>That reader tells of a broken file only that it is "unsupported", hands out what is left of
 * one that was cut short as if it were whole, and passes over the size of a frame: 24 bits in four
 * bytes, which some recorders write, it reads as noise. So what is read must be of a form that it
 * reads right, and whole.
 *
 * @param encoding of each sample
 * @param channels at least one
 * @param sampleRateHz above zero
 * @param frames samples of each channel
 */
record WavHead(WavEncoding encoding, int channels, int sampleRateHz, int frames) {
  private static final int PCM = 1;
  private static final int FLOAT = 3;
  private static final int EXTENSIBLE = 0xfffe;

  /** The tail of every sub-format GUID of the extensible form; its first two bytes are the tag. */
  private static final byte[] GUID_TAIL = {
    0, 0, 0, 0, 0x10, 0, (byte) 0x80, 0, 0, (byte) 0xaa, 0, 0x38, (byte) 0x9b, 0x71
  };

  /**
   * Looks at a file.
   *
   * @throws WavException if it is broken, cut short or of a form that is not read
   */
  static WavHead of(Path file) throws IOException {
    try (InputStream in = new BufferedInputStream(Files.newInputStream(file))) {
      return new Walk(file, in, Files.size(file)).head();
    }
  }

  /** From chunk to chunk of one file. */
  private static final class Walk {
    private final Path file;
    private final InputStream in;
    private long remaining;

    Walk(Path file, InputStream in, long size) {
      this.file = file;
      this.in = in;
      this.remaining = size;
    }

    WavHead head() throws IOException {
      ByteBuffer head = take(12, "the RIFF header");
      String riff = tag(head);
      head.getInt(); // its size is wrong in many a file that was streamed; the chunks' count
      String wave = tag(head);
      if (!riff.equals("RIFF") || !wave.equals("WAVE")) {
        throw new WavException(
            file, "\"" + riff + "…" + wave + "\"", "\"RIFF…WAVE\" or \"fLaC\" at its start");
      }
      Format format = null;
      while (remaining >= 8) {
        ByteBuffer chunk = take(8, "a chunk");
        String tag = tag(chunk);
        long size = chunk.getInt() & 0xffff_ffffL;
        if (tag.equals("data")) {
          return data(format, size);
        }
        if (size > remaining) {
          throw cutShort("chunk \"" + tag + "\"", size);
        }
        long padded = Math.min(remaining, size + size % 2);
        if (tag.equals("fmt ")) {
          format = format(take((int) Math.min(padded, 64), "the format"));
          padded -= Math.min(padded, 64);
        }
        in.skipNBytes(padded);
        remaining -= padded;
      }
      throw new WavException(file, "no samples", "a chunk \"data\" after the chunk \"fmt \"");
    }

    private WavHead data(@Nullable Format format, long size) throws IOException {
      if (format == null) {
        throw new WavException(
            file, "samples without a format", "a chunk \"fmt \" before \"data\"");
      }
      if (size > remaining) {
        throw cutShort("the samples", size);
      }
      int frame = format.encoding.bytes() * format.channels;
      if (size % frame != 0) {
        throw new WavException(
            file, size + " bytes of samples", "whole frames of " + frame + " bytes");
      }
      if (size / frame > Integer.MAX_VALUE - 8) {
        throw new WavException(file, size / frame + " frames", "fewer than two thousand million");
      }
      return new WavHead(
          format.encoding, format.channels, format.sampleRateHz, (int) (size / frame));
    }

    private Format format(ByteBuffer bytes) throws WavException {
      if (bytes.remaining() < 16) {
        throw new WavException(
            file, "a format of " + bytes.remaining() + " bytes", "at least 16 bytes");
      }
      int tag = bytes.getShort() & 0xffff;
      int channels = bytes.getShort() & 0xffff;
      int rate = bytes.getInt();
      bytes.getInt();
      int frame = bytes.getShort() & 0xffff;
      int bits = bytes.getShort() & 0xffff;
      if (tag == EXTENSIBLE) {
        tag = subFormat(bytes);
      }
      WavEncoding encoding = encoding(tag, bits);
      if (channels == 0 || rate <= 0) {
        throw new WavException(
            file, channels + " channels at " + rate + " Hz", "at least one channel and a rate");
      }
      if (frame != channels * encoding.bytes()) {
        throw new WavException(
            file,
            "frames of " + frame + " bytes",
            channels * encoding.bytes() + " bytes for " + channels + " channels of " + encoding);
      }
      return new Format(encoding, channels, rate);
    }

    private int subFormat(ByteBuffer bytes) throws WavException {
      if (bytes.remaining() < 24) {
        throw new WavException(file, "an extensible format that is cut short", "40 bytes of it");
      }
      bytes.position(bytes.position() + 8); // size, valid bits (left-aligned), speaker positions
      int tag = bytes.getShort() & 0xffff;
      byte[] tail = new byte[GUID_TAIL.length];
      bytes.get(tail);
      return Arrays.equals(tail, GUID_TAIL) ? tag : EXTENSIBLE;
    }

    private WavEncoding encoding(int tag, int bits) throws WavException {
      for (WavEncoding encoding : WavEncoding.values()) {
        if (tag == (encoding.floating() ? FLOAT : PCM) && bits == encoding.bits()) {
          return encoding;
        }
      }
      String kind = tag == PCM ? "integer" : tag == FLOAT ? "float" : "samples of format " + tag;
      throw new WavException(
          file, bits + "-bit " + kind, "16, 24 or 32-bit integer or 32-bit float");
    }

    private ByteBuffer take(int count, String what) throws IOException {
      if (count > remaining) {
        throw cutShort(what, count);
      }
      byte[] bytes = in.readNBytes(count);
      if (bytes.length < count) {
        remaining = bytes.length;
        throw cutShort(what, count);
      }
      remaining -= count;
      return ByteBuffer.wrap(bytes).order(ByteOrder.LITTLE_ENDIAN);
    }

    private WavException cutShort(String what, long size) {
      return new WavException(
          file, "a file that ends after " + remaining + " bytes of " + what, size + " bytes");
    }

    private static String tag(ByteBuffer bytes) {
      byte[] tag = new byte[4];
      bytes.get(tag);
      return new String(tag, StandardCharsets.ISO_8859_1);
    }

    private record Format(WavEncoding encoding, int channels, int sampleRateHz) {}
  }
}
