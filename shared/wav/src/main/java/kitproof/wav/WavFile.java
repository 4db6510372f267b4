package kitproof.wav;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Arrays;
import kitproof.value.Signal;

/**
 * The content of a WAV or FLAC file: samples with ±1.0 at full scale.
 *
 * <p>As WAV it reads and writes 16, 24 and 32-bit integers and 32-bit float, with any number of
 * channels, in the plain and the extensible form of the header (Microsoft and IBM, "Multimedia
 * Programming Interface and Data Specifications 1.0", 1991; Microsoft, {@code
 * WAVEFORMATEXTENSIBLE}), by the JDK's own sound files; {@code WavHead} and {@code WavWriter} say
 * what those cannot. As FLAC (RFC 9639) it reads up to 24-bit integers and writes 16 and 24 bits,
 * by libraries. What a file says beside its samples is passed over.
 *
 * <p>A value: arrays are copied in and out.
 */
public final class WavFile {
  /** A sample this near to full scale is taken as clipped: the last code of a 16-bit converter. */
  public static final double CLIPPED = 1 - 0x1p-15;

  private final WavEncoding encoding;
  private final int sampleRateHz;
  private final double[][] samples;

  /** Takes the arrays over; of one length, at least one channel. */
  WavFile(WavEncoding encoding, int sampleRateHz, double[][] samples) {
    this.encoding = encoding;
    this.sampleRateHz = sampleRateHz;
    this.samples = samples;
  }

  /**
   * Copies the given samples.
   *
   * @param sampleRateHz samples per second, above zero
   * @param channels ±1.0 at full scale; at least one channel, all of one length
   */
  public static WavFile of(WavEncoding encoding, int sampleRateHz, double[]... channels) {
    if (sampleRateHz <= 0) {
      throw new IllegalArgumentException("sample rate " + sampleRateHz);
    }
    if (channels.length == 0) {
      throw new IllegalArgumentException("a WAV file has at least one channel");
    }
    double[][] copy = new double[channels.length][];
    for (int i = 0; i < channels.length; i++) {
      if (channels[i].length != channels[0].length) {
        throw new IllegalArgumentException("channels of unequal length");
      }
      copy[i] = channels[i].clone();
    }
    return new WavFile(encoding, sampleRateHz, copy);
  }

  /**
   * Reads a whole file, WAV or FLAC by how it begins.
   *
   * @throws WavException if it is broken, cut short or of another form; the message tells what was
   *     found and what was expected
   * @throws IOException if the file cannot be read at all
   */
  public static WavFile read(Path file) throws IOException {
    return FlacReader.marks(file) ? FlacReader.read(file) : WavReader.read(file);
  }

  /**
   * Writes the file, in place of one that may be there.
   *
   * <p>Integers beyond full scale are written as full scale, float as it is.
   */
  public void write(Path file) throws IOException {
    WavWriter.write(this, file);
  }

  /**
   * Writes it as FLAC, in place of a file that may be there: 16 bits as they are, all else as 24
   * bits, which is without loss if {@link #fitsFlac()}.
   *
   * @throws IOException if it cannot be written, or FLAC has no place for so many channels or such
   *     a rate
   */
  public void writeFlac(Path file) throws IOException {
    FlacWriter.write(this, file);
  }

  /** Whether every sample is a code of 24 bits, as converters of up to 24 bits give. */
  public boolean fitsFlac() {
    double scale = 0x1p23;
    for (double[] channel : samples) {
      for (double sample : channel) {
        double code = sample * scale;
        // what is beside it by less is the rounding of volts, not a finer converter
        if (Math.abs(code - WavEncoding.code(sample, 24)) > 1e-4) {
          return false;
        }
      }
    }
    return true;
  }

  public WavEncoding encoding() {
    return encoding;
  }

  public int sampleRateHz() {
    return sampleRateHz;
  }

  public int channels() {
    return samples.length;
  }

  /** Samples per channel. */
  public int length() {
    return samples[0].length;
  }

  /** A copy of one channel, ±1.0 at full scale. */
  public double[] channel(int index) {
    return samples[index].clone();
  }

  /** Whether any sample of this channel is at full scale or beyond. */
  public boolean clipped(int channel) {
    return Arrays.stream(samples[channel]).anyMatch(v -> Math.abs(v) >= CLIPPED);
  }

  /**
   * The samples in volts.
   *
   * @param fullScalePeakVolts the peak voltage at full scale, the same for all channels
   */
  public Signal signal(double fullScalePeakVolts) {
    double[][] volts = new double[samples.length][];
    for (int i = 0; i < volts.length; i++) {
      volts[i] = Arrays.stream(samples[i]).map(v -> v * fullScalePeakVolts).toArray();
    }
    return Signal.of(sampleRateHz, volts);
  }

  double at(int channel, int index) {
    return samples[channel][index];
  }
}
