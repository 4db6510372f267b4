package kitproof.cli;

import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

/** Modulation distortion from captures of a low and a high tone. */
@Command(
    name = "modulation-distortion",
    mixinStandardHelpOptions = true,
    description =
        "Finds the modulation distortion in captures of a low and a high tone, 4 to 1 (SMPTE RP 120, IEC"
            + " 60268-3): the sidebands at f2 +/- n f1.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze modulation-distortion capture.wav --full-scale \"40 V\" --load \"8.02 ohm\""
    })
final class AnalyzeModulationCommand implements Callable<Integer> {
  @Mixin private EachChannel each = new EachChannel();
  @Mixin private LoadOption load = new LoadOption();

  @Mixin private TonePairOptions pair = new TonePairOptions("60 Hz", "7 kHz");

  @Override
  public Integer call() {
    TonePairOptions.Tones tones =
        pair.read(each.captures, ratio -> ratio >= 4, "a tone two octaves or more above");
    OptionalDouble ohms = load.ohms(each.captures);
    return each.analyse(
        "modulation distortion",
        part -> part.saved(ohms).modulationDistortion(tones.low(), tones.high()));
  }
}
