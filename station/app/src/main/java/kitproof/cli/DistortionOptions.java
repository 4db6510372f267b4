package kitproof.cli;

import kitproof.value.QuantityRange;
import picocli.CommandLine.Option;

/** How distortion is looked at: in which band, and up to which harmonic. */
final class DistortionOptions {
  @Option(
      names = "--band",
      paramLabel = "RANGE",
      defaultValue = "20 Hz..20 kHz",
      description = "The measuring band of THD+N (default: ${DEFAULT-VALUE}).")
  private String band = "";

  @Option(
      names = "--harmonics",
      paramLabel = "N",
      description = "The highest harmonic (default: ${DEFAULT-VALUE}).")
  private int harmonics;

  /**
   * For a command.
   *
   * @param usual the highest harmonic if none is named
   */
  DistortionOptions(int usual) {
    harmonics = usual;
  }

  QuantityRange band(CaptureOptions captures) {
    return captures.band("--band", band);
  }

  int harmonics(CaptureOptions captures) {
    return captures.within("--harmonics", harmonics, 2, 50);
  }
}
