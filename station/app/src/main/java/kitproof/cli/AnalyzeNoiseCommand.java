package kitproof.cli;

import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import kitproof.signal.Levels;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Noise in a capture of silence. */
@Command(
    name = "noise",
    mixinStandardHelpOptions = true,
    description =
        "Finds the noise in captures made with nothing played: unweighted, with the A and C curves and by ITU-R"
            + " BS.468-4, and its distance from rated power.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze noise silence.wav --full-scale \"4 V\" --rated \"12 W\" --load \"8.02 ohm\""
    })
final class AnalyzeNoiseCommand implements Callable<Integer> {
  @Mixin private EachChannel each = new EachChannel();
  @Mixin private LoadOption load = new LoadOption();

  @Option(
      names = "--rated",
      paramLabel = "WATTS",
      description = "The rated output power, to which the signal-to-noise ratio refers.")
  private @Nullable String rated;

  @Option(
      names = "--band",
      paramLabel = "RANGE",
      defaultValue = "20 Hz..20 kHz",
      description = "The measuring band (default: ${DEFAULT-VALUE}).")
  private String band = "";

  @Override
  public Integer call() {
    QuantityRange range = each.captures.band("--band", band);
    OptionalDouble ohms = load.ohms(each.captures);
    String ratedText = rated;
    double watts = ratedText == null ? 1 : each.captures.positive("--rated", ratedText, Unit.WATT);
    if ((ratedText == null) != ohms.isEmpty()) {
      throw each.captures.wrong(
          "--rated and --load make a signal-to-noise ratio together: give both, or neither", null);
    }
    OptionalDouble volts =
        ohms.isPresent()
            ? OptionalDouble.of(Levels.volts(watts, ohms.getAsDouble()))
            : OptionalDouble.empty();
    return each.analyse(
        "noise",
        part ->
            part.saved(OptionalDouble.empty()).noise(range, volts, Quantity.of(watts, Unit.WATT)));
  }
}
