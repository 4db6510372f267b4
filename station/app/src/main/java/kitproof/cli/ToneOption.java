package kitproof.cli;

import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** The tone that captures hold, if it is to be told. */
final class ToneOption {
  @Option(
      names = "--tone",
      paramLabel = "FREQUENCY",
      description = "The tone, within a tenth. Without it the strongest line is taken.")
  private @Nullable String tone;

  /** Within a tenth; 0 for the strongest line. */
  double hertz(CaptureOptions captures) {
    return tone == null ? 0 : captures.positive("--tone", tone, Unit.HERTZ);
  }
}
