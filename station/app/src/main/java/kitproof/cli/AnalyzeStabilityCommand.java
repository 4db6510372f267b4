package kitproof.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.OptionalDouble;
import java.util.concurrent.Callable;
import kitproof.document.Parsed;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.procedure.StationSpur;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Whether anything sounds in a capture that was not played. */
@Command(
    name = "stability",
    mixinStandardHelpOptions = true,
    description =
        "Looks in captures of a tone for the strongest line that is no harmonic of it, up to half the"
            + " sample rate: what an unstable amplifier gives itself away by. Capture it into the plain"
            + " load, and into the load with a capacitor across it.",
    footer = {
      "",
      "Example:",
      "  kitproof analyze stability plain.wav with-capacitor.wav --full-scale \"40 V\""
    })
final class AnalyzeStabilityCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Mixin private EachChannel each = new EachChannel();
  @Mixin private LoadOption load = new LoadOption();
  @Mixin private ToneOption tone = new ToneOption();

  @Option(
      names = "--look-from",
      paramLabel = "FREQUENCY",
      defaultValue = "5 kHz",
      description = "From where on a line is looked for (default: ${DEFAULT-VALUE}).")
  private String lowest = "";

  @Option(
      names = "--bench",
      paramLabel = "FILE",
      description =
          "The bench file of the interface that captured: single lines that it tells of the inputs"
              + " themselves (residual, spurs) are passed over.")
  private @Nullable Path benchFile;

  @Override
  public Integer call() {
    List<StationSpur> spurs = List.of();
    if (benchFile != null) {
      Parsed<Bench> bench = BenchReader.read(benchFile);
      if (!bench.isSound()) {
        Printed.problems(spec.commandLine().getErr(), bench.problems());
        return ExitCodes.BAD_INPUT;
      }
      spurs = bench.value().spurs();
    }
    List<StationSpur> own = spurs;
    Quantity start = each.captures.hertz("--look-from", lowest);
    double rough = tone.hertz(each.captures);
    OptionalDouble ohms = load.ohms(each.captures);
    return each.analyse(
        "stray line",
        part -> part.saved(ohms).stability(rough, start, own, each.captures.fullScaleRms()));
  }
}
