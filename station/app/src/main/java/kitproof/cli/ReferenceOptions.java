package kitproof.cli;

import java.nio.file.Path;
import kitproof.driver.FullScale;
import kitproof.wav.WavFile;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** A channel of a capture that recorded what the unit was driven with. */
final class ReferenceOptions {
  @Option(
      names = "--reference",
      paramLabel = "N",
      description = "The channel that recorded the input, from 1; it gives the gain.")
  private @Nullable Integer channel;

  @Option(
      names = "--reference-full-scale",
      paramLabel = "VOLTS",
      description = "What full scale of that channel stands for (default: as --full-scale).")
  private @Nullable String fullScale;

  /** The channel, from 1; 0 if there is none. */
  int channel() {
    return channel == null ? 0 : channel;
  }

  /** Refuses a channel that is not there. */
  void require(CaptureOptions captures, Path file, WavFile wav) {
    if (channel != null) {
      captures.requireChannel(file, wav, channel);
    }
  }

  /**
   * Peak volts at full scale of the reference.
   *
   * @param others that of the other channels
   */
  double peakVolts(CaptureOptions captures, double others) {
    if (fullScale == null) {
      return others;
    }
    if (channel == null) {
      throw captures.wrong("--reference-full-scale says nothing without --reference", null);
    }
    if (!captures.inVolts()) {
      throw captures.wrong("--reference-full-scale needs --full-scale beside it", null);
    }
    try {
      return FullScale.peakVolts(fullScale);
    } catch (IllegalArgumentException e) {
      throw captures.wrong(
          "--reference-full-scale: found \"" + fullScale + "\"; expected " + e.getMessage(), e);
    }
  }
}
