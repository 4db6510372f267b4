package kitproof.cli;

import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

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

  @Mixin private TonePairOptions pair = new TonePairOptions("19 kHz", "20 kHz");

  @Override
  public Integer call() {
    TonePairOptions.Tones tones =
        pair.read(
            each.captures, ratio -> ratio > 1 && ratio < 2, "a tone less than an octave above");
    OptionalDouble ohms = load.ohms(each.captures);
    return each.analyse(
        "difference-frequency distortion 2",
        part -> part.saved(ohms).differenceFrequencyDistortion(tones.low(), tones.high()));
  }
}
