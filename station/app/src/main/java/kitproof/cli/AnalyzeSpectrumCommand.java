package kitproof.cli;

import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import kitproof.value.QuantityRange;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Spectrum and residual waveform of a captured tone. */
@Command(
    name = "spectrum",
    mixinStandardHelpOptions = true,
    description =
        "Tells the spectrum of a captured tone, in dBV and relative to its fundamental, and"
            + " some periods of its waveform and of what is left of it without its fundamental. The shape"
            + " of the residual tells the order of the distortion.",
    footer = {
      "",
      "Examples:",
      "  kitproof analyze spectrum capture.wav --full-scale \"40 V\" --curves spectrum.json",
      "  kitproof plot spectrum.json --out spectrum.png"
    })
final class AnalyzeSpectrumCommand implements Callable<Integer> {
  @Mixin private EachChannel each = new EachChannel();
  @Mixin private LoadOption load = new LoadOption();
  @Mixin private ToneOption tone = new ToneOption();

  @Option(
      names = "--band",
      paramLabel = "RANGE",
      defaultValue = "20 Hz..20 kHz",
      description = "From where to where the spectrum is told (default: ${DEFAULT-VALUE}).")
  private String band = "";

  @Option(
      names = "--periods",
      defaultValue = "3",
      paramLabel = "N",
      description = "How many periods of the waveforms are told (default: ${DEFAULT-VALUE}).")
  private int periods;

  @Override
  public Integer call() {
    QuantityRange range = each.captures.band("--band", band);
    double rough = tone.hertz(each.captures);
    each.captures.within("--periods", periods, 1, 20);
    OptionalDouble ohms = load.ohms(each.captures);
    return each.analyse("level", part -> part.saved(ohms).spectrum(rough, range, periods));
  }
}
