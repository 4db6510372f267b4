package kitproof.wav;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Path;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioInputStream;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.UnsupportedAudioFileException;

/** Reads a file by the JDK's reader, once {@link WavHead} has found it sound. */
final class WavReader {
  private static final int FRAMES_AT_ONCE = 4096;

  private WavReader() {}

  static WavFile read(Path file) throws IOException {
    WavHead head = WavHead.of(file);
    try (AudioInputStream in = AudioSystem.getAudioInputStream(file.toFile())) {
      requireAlike(file, head, in.getFormat(), in.getFrameLength());
      return new WavFile(head.encoding(), head.sampleRateHz(), samples(file, head, in));
    } catch (UnsupportedAudioFileException e) {
      throw new WavException(file, head + ", which the JDK cannot read", "16 to 32-bit samples");
    }
  }

  /** Two readers that disagree mean that one of them is wrong; neither is taken then. */
  private static void requireAlike(Path file, WavHead head, AudioFormat format, long frames)
      throws WavException {
    WavEncoding encoding = head.encoding();
    boolean alike =
        !format.isBigEndian()
            && format.getSampleSizeInBits() == encoding.bits()
            && format.getEncoding().equals(encoding.format())
            && format.getChannels() == head.channels()
            && format.getSampleRate() == (float) head.sampleRateHz()
            && format.getFrameSize() == encoding.bytes() * head.channels()
            && frames == head.frames();
    if (!alike) {
      throw new WavException(file, format + ", " + frames + " frames", head.toString());
    }
  }

  private static double[][] samples(Path file, WavHead head, AudioInputStream in)
      throws IOException {
    int frames = head.frames();
    int frame = head.encoding().bytes() * head.channels();
    double[][] samples = new double[head.channels()][frames];
    for (int from = 0; from < frames; from += FRAMES_AT_ONCE) {
      int count = Math.min(FRAMES_AT_ONCE, frames - from);
      byte[] read = in.readNBytes(count * frame);
      if (read.length < count * frame) {
        throw new WavException(
            file,
            "a file that ends within frame " + (from + read.length / frame),
            frames + " frames");
      }
      ByteBuffer bytes = ByteBuffer.wrap(read).order(ByteOrder.LITTLE_ENDIAN);
      for (int i = from; i < from + count; i++) {
        for (double[] channel : samples) {
          channel[i] = head.encoding().get(bytes);
          if (!Double.isFinite(channel[i])) {
            throw new WavException(file, channel[i] + " in frame " + i, "finite numbers");
          }
        }
      }
    }
    return samples;
  }
}
