package kitproof.cli;

import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import kitproof.procedure.SavedCapture;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Modulation distortion from captures of a low and a high tone. */
@Command(
    name = "modulation-distortion",
    mixinStandardHelpOptions = true,
    description =
        "Finds the modulation distortion in captures of a low and a high tone, 4 to 1 (SMPTE RP 120, IEC"
            + " 60268-3): the sidebands at f2 ± n·f1.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze modulation-distortion capture.wav --full-scale \"40 V\" --load \"8.02 ohm\""
    })
final class AnalyzeModulationCommand implements Callable<Integer> {
  @Mixin private EachChannel each = new EachChannel();
  @Mixin private LoadOption load = new LoadOption();

  @Option(
      names = "--low",
      defaultValue = "60 Hz",
      paramLabel = "FREQUENCY",
      description = "The lower tone, f1, within a tenth (default: ${DEFAULT-VALUE}).")
  private String low = "";

  @Option(
      names = "--high",
      defaultValue = "7 kHz",
      paramLabel = "FREQUENCY",
      description = "The higher tone, f2 (default: ${DEFAULT-VALUE}).")
  private String high = "";

  @Override
  public Integer call() {
    Quantity f1 = each.captures.hertz("--low", low);
    Quantity f2 = each.captures.hertz("--high", high);
    double ratio = f2.in(Unit.HERTZ) / f1.in(Unit.HERTZ);
    if (!(ratio >= 4)) {
      throw each.captures.wrong(
          "--high: found \""
              + high
              + "\"; expected a tone two octaves or more above "
              + f1.display(),
          null);
    }
    OptionalDouble ohms = load.ohms(each.captures);
    return each.analyse(
        "modulation distortion",
        part ->
            new SavedCapture(part.volts(), part.rate(), part.conditions(), ohms)
                .modulationDistortion(f1, f2));
  }
}
