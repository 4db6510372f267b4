package kitproof.cli;

import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** What an amplifier makes of a square wave. */
@Command(
    name = "square-wave",
    mixinStandardHelpOptions = true,
    description =
        "Finds rise time, overshoot, ringing and sag in captures of a square wave, and two periods to look"
            + " at. Only its odd harmonics are looked at: noise and hum stay out.",
    footer = {
      "",
      "Examples:",
      "  kitproof analyze square-wave capture.wav --full-scale \"40 V\" --curves square.json",
      "  kitproof analyze square-wave capture.wav --stimulus-rise \"4.2 us\""
    })
final class AnalyzeSquareWaveCommand implements Callable<Integer> {
  @Mixin private EachChannel each = new EachChannel();

  @Option(
      names = "--frequency",
      paramLabel = "FREQUENCY",
      description = "The square wave's, within a tenth. Without it the strongest line is taken.")
  private @Nullable String frequency;

  @Option(
      names = "--stimulus-rise",
      paramLabel = "TIME",
      description =
          "How long the stimulus itself takes from 10 to 90 %; it is taken out as slopes add, as"
              + " squares. Without it the rise time includes it.")
  private @Nullable String rise;

  @Override
  public Integer call() {
    double rough =
        frequency == null ? 0 : each.captures.positive("--frequency", frequency, Unit.HERTZ);
    double own = rise == null ? 0 : each.captures.positive("--stimulus-rise", rise, Unit.SECOND);
    return each.analyse(
        "square wave", part -> part.saved(OptionalDouble.empty()).squareWave(rough, own));
  }
}
