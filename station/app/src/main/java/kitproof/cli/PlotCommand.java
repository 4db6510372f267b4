package kitproof.cli;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.concurrent.Callable;
import kitproof.journal.Durable;
import kitproof.plot.Drawing;
import kitproof.plot.Plot;
import kitproof.plot.Plots;
import kitproof.plot.Raster;
import kitproof.report.ShippedFonts;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Draws the curves of records with their masks. */
@Command(
    name = "plot",
    mixinStandardHelpOptions = true,
    description =
        "Draws the curves of one record, or of several over one another, with the masks they were"
            + " judged by.",
    footer = {
      "",
      "Examples:",
      "  kitproof plot records/20261125T101500.123Z-LN12-001.json --out unit.svg",
      "  kitproof plot a.json b.json --result \"frequency response\" --when tap=\"8 ohm\" --out"
          + " sisters.png"
    })
final class PlotCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Parameters(
      arity = "1..*",
      paramLabel = "RECORD",
      description =
          "Records of runs, or what kitproof analyze kept under --curves (JSON); several are drawn"
              + " over one another.")
  private List<Path> files = List.of();

  @Mixin private ResultOptions chosen = new ResultOptions();

  @Option(
      names = "--out",
      required = true,
      paramLabel = "FILE",
      description = "Where to: FILE.svg or FILE.png.")
  private Path out = Path.of("");

  @Override
  public Integer call() throws IOException {
    String kind = out.toString().toLowerCase(Locale.ROOT).replaceFirst("^.*\\.", "");
    if (!Set.of("svg", "png").contains(kind)) {
      throw wrong("--out: found \"" + out + "\"; expected a file that ends in .svg or .png");
    }
    List<Plots.Source> records = new ArrayList<>();
    for (Path file : files) {
      records.add(ResultFile.read(spec, file).source());
    }
    Set<String> curves = Plots.names(records);
    if (curves.isEmpty()) {
      throw wrong("found no curve in the records; expected a run that measured one");
    }
    chosen.check(curves);
    List<Plot> plots = Plots.of(records, chosen::include);
    if (plots.isEmpty()) {
      throw chosen.nothing("curve");
    }
    String svg = Drawing.svg(plots);
    ShippedFonts.register();
    Durable.replace(
        out, kind.equals("svg") ? svg.getBytes(StandardCharsets.UTF_8) : Raster.png(svg), true);
    spec.commandLine()
        .getOut()
        .println(plots.size() + (plots.size() == 1 ? " plot: " : " plots: ") + out);
    spec.commandLine().getOut().flush();
    return ExitCodes.GOOD;
  }

  private ParameterException wrong(String message) {
    return new ParameterException(spec.commandLine(), message);
  }
}
