package kitproof.cli;

import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** What the mains leaves in a capture of silence. */
@Command(
    name = "hum",
    mixinStandardHelpOptions = true,
    description =
        "Finds the mains line and its harmonics in captures made with nothing played, as levels in dBV,"
            + " with their total and the spectrum they stand in. The first four seconds are looked"
            + " at; --from chooses others.",
    footer = {
      "",
      "Examples:",
      "  kitproof analyze hum silence.wav --full-scale \"4 V\"",
      "  kitproof analyze hum silence.wav --full-scale \"4 V\" --mains \"60 Hz\" --curves hum.json"
    })
final class AnalyzeHumCommand implements Callable<Integer> {
  @Mixin private EachChannel each = new EachChannel();

  @Option(
      names = "--mains",
      defaultValue = "50 Hz",
      paramLabel = "FREQUENCY",
      description = "The mains frequency (default: ${DEFAULT-VALUE}).")
  private String mains = "";

  @Option(
      names = "--lines",
      defaultValue = "6",
      paramLabel = "N",
      description = "How many lines, the mains frequency the first (default: ${DEFAULT-VALUE}).")
  private int lines;

  @Option(
      names = "--highest",
      defaultValue = "1 kHz",
      paramLabel = "FREQUENCY",
      description = "Where the spectrum ends (default: ${DEFAULT-VALUE}).")
  private String highest = "";

  @Override
  public Integer call() {
    Quantity line = each.captures.hertz("--mains", mains);
    each.captures.within("--lines", lines, 1, 50);
    Quantity end = each.captures.hertz("--highest", highest);
    if (lines * line.in(Unit.HERTZ) > end.in(Unit.HERTZ)) {
      throw each.captures.wrong(
          "--highest: found \"" + highest + "\"; expected a spectrum that reaches to the last line",
          null);
    }
    return each.analyse("hum", part -> part.saved(OptionalDouble.empty()).hum(line, lines, end));
  }
}
