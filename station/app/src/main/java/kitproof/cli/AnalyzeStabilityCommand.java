package kitproof.cli;

import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import kitproof.value.Quantity;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Whether anything sounds in a capture that was not played. */
@Command(
    name = "stability",
    mixinStandardHelpOptions = true,
    description =
        "Looks in captures of a tone for the strongest line that is no harmonic of it, up to half the"
            + " sample rate: what an unstable amplifier gives itself away by. Capture it into the plain"
            + " load, and into the load with a capacitor across it.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze stability plain.wav with-capacitor.wav --full-scale \"40 V\""
    })
final class AnalyzeStabilityCommand implements Callable<Integer> {
  @Mixin private EachChannel each = new EachChannel();
  @Mixin private LoadOption load = new LoadOption();
  @Mixin private ToneOption tone = new ToneOption();

  @Option(
      names = "--look-from",
      paramLabel = "FREQUENCY",
      defaultValue = "5 kHz",
      description = "From where on a line is looked for (default: ${DEFAULT-VALUE}).")
  private String lowest = "";

  @Override
  public Integer call() {
    Quantity start = each.captures.hertz("--look-from", lowest);
    double rough = tone.hertz(each.captures);
    OptionalDouble ohms = load.ohms(each.captures);
    return each.analyse("stray line", part -> part.saved(ohms).stability(rough, start));
  }
}
