package kitproof.wav;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;

/** Writes the plain form, which every program reads. */
final class WavWriter {
  private static final int FORMAT_BYTES = 16;

  private WavWriter() {}

  static void write(WavFile wav, Path file) throws IOException {
    WavEncoding encoding = wav.encoding();
    int frame = encoding.bytes() * wav.channels();
    long data = (long) frame * wav.length();
    // Float has a "fact" chunk with the number of frames, as the specification wants of all but
    // PCM.
    int fact = encoding.floating() ? 12 : 0;
    long padding = data % 2;
    long riff = 4 + 8 + FORMAT_BYTES + fact + 8 + data + padding;
    if (riff > 0xffff_ffffL) {
      throw new IOException(file + ": " + data + " bytes of samples are too many for a WAV file");
    }
    ByteBuffer head = little(20 + FORMAT_BYTES + fact + 8);
    tag(head, "RIFF").putInt((int) riff);
    tag(head, "WAVE");
    tag(head, "fmt ").putInt(FORMAT_BYTES);
    head.putShort((short) (encoding.floating() ? WavReader.FLOAT : WavReader.PCM))
        .putShort((short) wav.channels())
        .putInt(wav.sampleRateHz())
        .putInt(wav.sampleRateHz() * frame)
        .putShort((short) frame)
        .putShort((short) encoding.bits());
    if (encoding.floating()) {
      tag(head, "fact").putInt(4).putInt(wav.length());
    }
    tag(head, "data").putInt((int) data);
    try (OutputStream out = new BufferedOutputStream(Files.newOutputStream(file))) {
      out.write(head.array());
      ByteBuffer bytes = little(frame);
      for (int i = 0; i < wav.length(); i++) {
        bytes.clear();
        for (int c = 0; c < wav.channels(); c++) {
          encoding.put(bytes, wav.at(c, i));
        }
        out.write(bytes.array());
      }
      out.write(new byte[(int) padding]);
    }
  }

  private static ByteBuffer little(int size) {
    return ByteBuffer.allocate(size).order(ByteOrder.LITTLE_ENDIAN);
  }

  private static ByteBuffer tag(ByteBuffer bytes, String tag) {
    return bytes.put(tag.getBytes(StandardCharsets.US_ASCII));
  }
}
