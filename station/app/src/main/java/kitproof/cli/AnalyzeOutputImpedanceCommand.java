package kitproof.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import kitproof.signal.Impedance;
import kitproof.signal.Levels;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Output impedance and damping factor from two captures into two loads. */
@Command(
    name = "output-impedance",
    mixinStandardHelpOptions = true,
    description =
        "Finds output impedance and damping factor from two captures of one sweep, each into"
            + " another load, played alike, or the second lower: by what the record says that they"
            + " lie beside, of captures from elsewhere by --second-lower. Never into none: an"
            + " amplifier with an output transformer must not be driven without a load.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze output-impedance 8ohm.wav 6ohm.wav --first-load \"8.02 ohm\""
          + " --second-load \"5.97 ohm\" --sweep \"20 Hz..20 kHz\" --duration \"2 s\""
    })
final class AnalyzeOutputImpedanceCommand implements Callable<Integer> {
  @Mixin private PairOptions pair = new PairOptions();

  @Parameters(index = "0", paramLabel = "FIRST", description = "The capture into the first load.")
  private Path first = Path.of("");

  @Parameters(index = "1", paramLabel = "SECOND", description = "The capture into the other.")
  private Path second = Path.of("");

  @Option(
      names = "--first-load",
      required = true,
      paramLabel = "OHMS",
      description = "The first load, as measured.")
  private String firstLoad = "";

  @Option(
      names = "--second-load",
      required = true,
      paramLabel = "OHMS",
      description = "The other load, as measured.")
  private String secondLoad = "";

  @Option(
      names = "--second-lower",
      paramLabel = "DECIBELS",
      description =
          "How much lower the sweep into the other load was played, of captures from elsewhere"
              + " (default: 0 dB). What a run has kept is told by the record beside it.")
  private @Nullable String secondLower;

  @Option(
      names = "--nominal-load",
      paramLabel = "OHMS",
      description = "What damping factors refer to (default: the first load).")
  private @Nullable String nominalLoad;

  @Override
  public Integer call() {
    double r1 = pair.ohms("--first-load", firstLoad, false);
    double r2 = pair.ohms("--second-load", secondLoad, false);
    double nominal = nominalLoad == null ? r1 : pair.ohms("--nominal-load", nominalLoad, false);
    double lower = pair.lowerDb(first, second, "--second-lower", secondLower);
    double played = Levels.ratio(-lower);
    return pair.analyse(
        first,
        second,
        "output impedance",
        (both, hz, at, conditions) -> {
          Impedance found =
              Impedance.ofSource(
                  hz, both.first()::at, r1, both.second().changed(1 / played - 1, 0), r2);
          List<Measurement> all =
              new ArrayList<>(PairOptions.impedance("output impedance", found, at, conditions));
          all.add(Measurement.of("damping factor", conditions, found.dampingFactor(nominal)));
          all.add(
              Measurement.of(
                  "damping factor at " + at.display(),
                  conditions,
                  Quantity.of(found.dampingFactorAt(nominal, at.value()), Unit.ONE)));
          return all;
        });
  }
}
