package kitproof.cli;

import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import kitproof.procedure.SavedCapture;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Difference-frequency distortion from captures of two equal tones. */
@Command(
    name = "difference-frequency-distortion",
    mixinStandardHelpOptions = true,
    description =
        "Finds the difference-frequency distortion in captures of two equal tones (IEC 60268-3): the"
            + " product at f2-f1 and the pair at 2f1-f2 and 2f2-f1.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze difference-frequency-distortion capture.wav --full-scale \"40 V\" --load \"8.02 ohm\""
    })
final class AnalyzeDifferenceFrequencyCommand implements Callable<Integer> {
  @Mixin private EachChannel each = new EachChannel();
  @Mixin private LoadOption load = new LoadOption();

  @Option(
      names = "--low",
      defaultValue = "19 kHz",
      paramLabel = "FREQUENCY",
      description = "The lower tone, f1, within a tenth (default: ${DEFAULT-VALUE}).")
  private String low = "";

  @Option(
      names = "--high",
      defaultValue = "20 kHz",
      paramLabel = "FREQUENCY",
      description = "The higher tone, f2 (default: ${DEFAULT-VALUE}).")
  private String high = "";

  @Override
  public Integer call() {
    Quantity f1 = each.captures.hertz("--low", low);
    Quantity f2 = each.captures.hertz("--high", high);
    double ratio = f2.in(Unit.HERTZ) / f1.in(Unit.HERTZ);
    if (!(ratio > 1 && ratio < 2)) {
      throw each.captures.wrong(
          "--high: found \""
              + high
              + "\"; expected a tone less than an octave above "
              + f1.display(),
          null);
    }
    OptionalDouble ohms = load.ohms(each.captures);
    return each.analyse(
        "difference-frequency distortion 2",
        part ->
            new SavedCapture(part.volts(), part.rate(), part.conditions(), ohms)
                .differenceFrequencyDistortion(f1, f2));
  }
}
