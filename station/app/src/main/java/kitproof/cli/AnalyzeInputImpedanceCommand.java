package kitproof.cli;

import java.nio.file.Path;
import java.util.concurrent.Callable;
import kitproof.signal.Impedance;
import kitproof.signal.Levels;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Input impedance from two captures, without and with a resistor in series. */
@Command(
    name = "input-impedance",
    mixinStandardHelpOptions = true,
    description =
        "Finds the input impedance from two captures of one sweep at the output: without and with a"
            + " known resistor in series with the input; played alike, or the second lower: by what"
            + " the record says that they lie beside, of captures from elsewhere by --second-lower.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze input-impedance without.wav with.wav --resistor \"47 kohm\" --sweep"
          + " \"20 Hz..20 kHz\" --duration \"2 s\""
    })
final class AnalyzeInputImpedanceCommand implements Callable<Integer> {
  @Mixin private PairOptions pair = new PairOptions();

  @Parameters(index = "0", paramLabel = "WITHOUT", description = "The capture without resistor.")
  private Path without = Path.of("");

  @Parameters(index = "1", paramLabel = "WITH", description = "The capture with the resistor.")
  private Path with = Path.of("");

  @Option(
      names = "--resistor",
      required = true,
      paramLabel = "OHMS",
      description = "The resistor, as measured.")
  private String resistor = "";

  @Option(
      names = "--source",
      defaultValue = "0 ohm",
      paramLabel = "OHMS",
      description = "The resistance of what plays (default: ${DEFAULT-VALUE}).")
  private String source = "";

  @Option(
      names = "--second-lower",
      paramLabel = "DECIBELS",
      description =
          "How much lower the sweep through the resistor was played, of captures from elsewhere"
              + " (default: 0 dB). What a run has kept is told by the record beside it.")
  private @Nullable String secondLower;

  @Override
  public Integer call() {
    double series = pair.ohms("--resistor", resistor, false);
    double generator = pair.ohms("--source", source, true);
    double played = Levels.ratio(-pair.lowerDb(without, with, "--second-lower", secondLower));
    return pair.analyse(
        without,
        with,
        "input impedance",
        (both, hz, at, conditions) ->
            PairOptions.impedance(
                "input impedance",
                Impedance.ofInput(
                    hz,
                    both.first()::at,
                    both.second().changed(1 / played - 1, 0),
                    series,
                    generator),
                at,
                conditions));
  }
}
