package kitproof.driver.audio;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Locale;
import kitproof.driver.AudioInterface;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.value.Signal;
import kitproof.wav.WavEncoding;
import kitproof.wav.WavFile;

/**
 * Captures from WAV files, one for each exchange; nothing is played.
 *
 * <p>The first sample of a file counts as the instant at which the stimulus began. That no samples
 * were lost cannot be seen in a file and is taken for granted.
 */
final class FileAudio implements AudioInterface {
  private final FileSettings settings;
  private int exchanges;
  private boolean closed;

  FileAudio(FileSettings settings) {
    this.settings = settings;
  }

  @Override
  public Identity identity() {
    return new Identity("", "WAV files", "", "");
  }

  @Override
  public AudioPorts ports() {
    return settings.wiring().ports();
  }

  @Override
  public Capture exchange(Signal stimulus) throws InstrumentException {
    if (closed) {
      throw new InstrumentException(Kind.UNREACHABLE, "the audio interface is closed");
    }
    settings.wiring().requirePlayable(stimulus);
    if (exchanges == settings.captures().size()) {
      throw new InstrumentException(
          Kind.RANGE,
          "found " + exchanges + " captures; expected one more, for exchange " + (exchanges + 1));
    }
    Path file = settings.captures().get(exchanges);
    try {
      Capture capture = capture(WavFile.read(file), file, stimulus.length());
      exchanges++;
      if (settings.stimuli().isPresent()) {
        keep(stimulus, settings.stimuli().get());
      }
      return capture;
    } catch (IOException e) {
      throw new InstrumentException(Kind.PROTOCOL, String.valueOf(e.getMessage()), e);
    }
  }

  private Capture capture(WavFile wav, Path file, int length) throws InstrumentException {
    settings.requireFit(wav, file);
    if (wav.length() < length) {
      throw new InstrumentException(
          Kind.RANGE,
          file
              + ": found "
              + wav.length()
              + " samples; expected at least "
              + length
              + ", as many as the stimulus has");
    }
    double[][] volts = new double[ports().inputs().size()][];
    boolean clipped = false;
    for (int i = 0; i < volts.length; i++) {
      double fullScale = ports().inputs().get(i).fullScalePeakVolts();
      volts[i] = Arrays.copyOf(wav.channel(settings.wiring().inputChannels().get(i)), length);
      for (int k = 0; k < length; k++) {
        clipped |= Math.abs(volts[i][k]) >= WavFile.CLIPPED;
        volts[i][k] *= fullScale;
      }
    }
    return new Capture(Signal.of(wav.sampleRateHz(), volts), clipped, false);
  }

  /** Writes what would have been played, ±1.0 at each output's full scale. */
  private void keep(Signal stimulus, Path folder) throws IOException {
    double[][] channels = new double[stimulus.channels()][];
    for (int i = 0; i < channels.length; i++) {
      double fullScale = ports().outputs().get(i).fullScalePeakVolts();
      channels[i] = Arrays.stream(stimulus.channel(i)).map(v -> v / fullScale).toArray();
    }
    WavFile.of(WavEncoding.FLOAT_32, settings.wiring().rate(), channels)
        .write(folder.resolve(String.format(Locale.ROOT, "stimulus-%03d.wav", exchanges)));
  }

  @Override
  public void makeSafe() {}

  @Override
  public void close() {
    closed = true;
  }
}
