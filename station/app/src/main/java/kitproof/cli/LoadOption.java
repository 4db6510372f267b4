package kitproof.cli;

import java.util.OptionalDouble;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** The load that captures were made with. */
final class LoadOption {
  @Option(
      names = "--load",
      paramLabel = "OHMS",
      description = "The load as measured, for the power; needs --full-scale.")
  private @Nullable String load;

  /** Its resistance; empty if it was not given. */
  OptionalDouble ohms(CaptureOptions captures) {
    if (load == null) {
      return OptionalDouble.empty();
    }
    if (!captures.inVolts()) {
      throw captures.wrong("--load gives a power only with --full-scale \"… V\".", null);
    }
    return OptionalDouble.of(captures.positive("--load", load, Unit.OHM));
  }
}
