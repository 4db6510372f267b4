package kitproof.cli;

import java.util.function.DoublePredicate;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import picocli.CommandLine.Option;

/** The two tones of a captured pair. */
final class TonePairOptions {
  @Option(
      names = "--low",
      paramLabel = "FREQUENCY",
      description = "The lower tone, f1, within a tenth (default: ${DEFAULT-VALUE}).")
  private String low;

  @Option(
      names = "--high",
      paramLabel = "FREQUENCY",
      description = "The higher tone, f2 (default: ${DEFAULT-VALUE}).")
  private String high;

  /** With these where nothing else is given. */
  TonePairOptions(String usualLow, String usualHigh) {
    this.low = usualLow;
    this.high = usualHigh;
  }

  /** What was read. */
  record Tones(Quantity low, Quantity high) {}

  /**
   * Reads both.
   *
   * @param ratio what the higher may be over the lower
   * @param expected the same in words, followed by the lower tone
   */
  Tones read(CaptureOptions captures, DoublePredicate ratio, String expected) {
    Quantity f1 = captures.hertz("--low", low);
    Quantity f2 = captures.hertz("--high", high);
    if (!ratio.test(f2.in(Unit.HERTZ) / f1.in(Unit.HERTZ))) {
      throw captures.wrong(
          "--high: found \"" + high + "\"; expected " + expected + " " + f1.display(), null);
    }
    return new Tones(f1, f2);
  }
}
