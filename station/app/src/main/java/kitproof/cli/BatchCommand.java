package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import kitproof.batch.Batch;
import kitproof.batch.BatchText;
import kitproof.batch.BatchTree;
import kitproof.batch.PairRules;
import kitproof.batch.Pairing;
import kitproof.batch.RunSource;
import kitproof.batch.Series;
import kitproof.batch.SeriesReport;
import kitproof.document.Parsed;
import kitproof.journal.Durable;
import kitproof.journal.SafeName;
import kitproof.plot.ChartDrawing;
import kitproof.plot.Raster;
import kitproof.report.BatchReport;
import kitproof.report.ShippedFonts;
import kitproof.store.Index;
import kitproof.store.IndexException;
import kitproof.store.IndexedBatch;
import kitproof.store.PostgresPlace;
import kitproof.value.Conditions;
import kitproof.value.Nearest;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** What the records of a batch tell together. */
@Command(
    name = "batch",
    mixinStandardHelpOptions = true,
    description =
        "Tells what the records of a batch say together: yield, what failed, capability of each"
            + " result, units unlike their sisters, trends. Changes no record.",
    footer = {
      "",
      "Each unit counts by its last attempt; first pass and final yield are kept apart. A",
      "run that ended in error is the station's and no attempt of the unit.",
      "",
      "Examples:",
      "  kitproof batch pilot",
      "  kitproof batch pilot --csv tables --json-rows tables",
      "  kitproof batch pilot --chart gain --when tap=\"8 ohm\" --out gain.svg",
      "  kitproof batch pilot --chart gain --when tap=\"8 ohm\" --subgroups 5 --out groups.svg",
      "  kitproof batch pilot --report reports --maker maker.yaml",
      "  kitproof batch pilot --index postgresql://index.shop.example/kitproof",
      "  kitproof batch pilot --check-standard CS-01",
      "  kitproof batch pilot --pairs pairs.yaml",
      "  kitproof batch pilot --propose-limits proposal.yaml --coverage 0.99"
    })
final class BatchCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Parameters(paramLabel = "NAME", description = "The batch.")
  private String name = "";

  @Mixin private RecordsOption records = new RecordsOption();

  @Option(
      names = "--index",
      paramLabel = "URL",
      description =
          "Ask this PostgreSQL, which has the runs of every station that shares it, instead of a"
              + " folder of records; curves are not in it.")
  private @Nullable String index;

  @Option(names = "--json", description = "Print JSON for a program to read.")
  private boolean json;

  @Mixin private TablesOption tables = new TablesOption();

  @Option(
      names = "--pairs",
      paramLabel = "FILE",
      description = "Match the good units in pairs by the rules of this file.")
  private @Nullable Path pairs;

  @Mixin private ProposalOption proposal = new ProposalOption();

  @Option(
      names = "--chart",
      paramLabel = "RESULT",
      description = "Draw the control chart of this result over the batch.")
  private @Nullable String chart;

  @Option(
      names = "--when",
      paramLabel = "CONDITION=VALUE",
      description = "Which of the charts of that name, such as mode=triode. Can be repeated.")
  private Map<String, String> when = new LinkedHashMap<>();

  @Option(
      names = "--subgroups",
      paramLabel = "N",
      description = "Means and ranges of N units in a row, with run rules, besides single units.")
  private int subgroup;

  @Option(
      names = "--time-zone",
      paramLabel = "ZONE",
      description =
          "Whose time of day results are held against, such as Europe/Lisbon (default:"
              + " ${DEFAULT-VALUE}).",
      defaultValue = "UTC")
  private ZoneId zone = ZoneOffset.UTC;

  @Mixin private CheckStandardOption standard = new CheckStandardOption();

  @Mixin private ReportOption pages = new ReportOption();

  @Option(names = "--out", paramLabel = "FILE", description = "Chart: FILE.svg or FILE.png.")
  private @Nullable Path out;

  @Override
  public Integer call() throws IOException {
    requireTogether();
    Parsed<PairRules> rules = pairs == null ? null : PairRules.read(pairs);
    if (rules != null && !rules.isSound()) {
      Printed.problems(spec.commandLine().getErr(), rules.problems());
      return ExitCodes.BAD_INPUT;
    }
    if (!pages.isSound(spec.commandLine()) || !standard.isSound(spec.commandLine())) {
      return ExitCodes.BAD_INPUT;
    }
    if (index != null) {
      return fromIndex(index);
    }
    boolean whole = rules != null || proposal.isWanted() || tables.isWanted() || standard.isNamed();
    Optional<FolderIndex.Told> indexed =
        whole
            ? Optional.empty()
            : FolderIndex.batch(spec.commandLine(), records.folder(spec.commandLine()), name);
    if (indexed.isPresent()) {
      FolderIndex.Told told = indexed.get();
      RecordsOption.tell(spec.commandLine(), new RunSource.Found(List.of(), told.unreadable()));
      return told(told.batch(), told.series(), told.unreadable());
    }
    RunSource.Found found = records.runs(spec.commandLine(), name);
    Batch batch = standard.without(Batch.of(name, found.runs()));
    if (rules != null) {
      return pairs(batch, rules.value());
    }
    if (proposal.isWanted()) {
      proposal.write(spec.commandLine(), batch);
      return ExitCodes.GOOD;
    }
    if (tables.isWanted()) {
      tables.write(batch).forEach(spec.commandLine().getOut()::println);
      spec.commandLine().getOut().flush();
      return ExitCodes.GOOD;
    }
    List<Series> series = Series.of(batch);
    standard.read(spec.commandLine(), records.folder(spec.commandLine()), series);
    return told(batch, series, found.unreadable());
  }

  private void requireTogether() {
    new Together(spec.commandLine())
        .oneOf("--csv", "--pairs", "--propose-limits", "--chart", "--report")
        .oneOf("--json-rows", "--pairs", "--propose-limits", "--chart", "--report")
        .oneOf("--index", "--records")
        .excludes(
            "--index",
            "curves and single runs are in the documents only; expected --records DIR",
            "--pairs",
            "--propose-limits",
            "--csv",
            "--json-rows")
        .excludes(
            "--json",
            "it says nothing there; expected one of them",
            "--csv",
            "--json-rows",
            "--propose-limits",
            "--chart",
            "--report")
        .excludes(
            "--subgroups",
            "it says nothing there; expected one of them",
            "--csv",
            "--json-rows",
            "--pairs",
            "--propose-limits")
        .needs("--coverage", "--propose-limits")
        .needs("--confidence", "--propose-limits")
        .needs("--when", "--chart")
        .needs("--maker", "--report")
        .needs("--paper", "--report");
    if (spec.commandLine().getParseResult().hasMatchedOption("--subgroups") && subgroup < 2) {
      throw wrong("--subgroups: found " + subgroup + "; expected 2 units in a row or more");
    }
  }

  /** The batch of all stations that share an index. */
  private int fromIndex(String address) throws IOException {
    PostgresPlace place = IndexOption.place(spec.commandLine(), address);
    try (Index shared = Index.open(place)) {
      IndexedBatch found = shared.batch(name);
      if (found.runs().isEmpty()) {
        List<String> names = shared.batches();
        throw wrong(
            "found no batch \""
                + name
                + "\" in "
                + place
                + "; expected "
                + (names.isEmpty() ? "one that was indexed" : "one of " + String.join(", ", names))
                + Nearest.to(name, names).map(n -> "; did you mean \"" + n + "\"?").orElse(""));
      }
      IndexedBatch units = standard.without(found);
      List<Series> series = IndexedSeries.of(units);
      standard.read(spec.commandLine(), shared, place, series);
      return told(Batch.of(name, units.runs()), series, List.of());
    } catch (IndexException e) {
      throw new IOException(e.getMessage(), e);
    }
  }

  private int told(Batch batch, List<Series> series, List<String> unreadable) throws IOException {
    if (chart != null || out != null) {
      return chart(batch, series);
    }
    List<SeriesReport> reports = SeriesReport.of(series, zone, subgroup);
    if (pages.isWanted()) {
      PrintWriter print = spec.commandLine().getOut();
      print.println("Report of batch " + name + ":");
      pages
          .write(
              SafeName.ofFile(batch.name()),
              maker -> new BatchReport(standard.with(BatchPages.of(batch, reports)), maker))
          .forEach(file -> print.println("  " + file));
      print.flush();
    } else {
      report(batch, reports, unreadable);
    }
    return ExitCodes.GOOD;
  }

  private void report(Batch batch, List<SeriesReport> reports, List<String> unreadable) {
    PrintWriter print = spec.commandLine().getOut();
    if (json) {
      Map<String, Object> tree = BatchTree.of(batch, reports, unreadable);
      tree.put("calibration", BatchPages.calibration(batch));
      tree.put("stationDrift", standard.tree());
      Printed.json(print, tree);
    } else {
      BatchText.lines(batch, reports, index == null).forEach(print::println);
      print.println("calibration: " + BatchPages.calibration(batch));
      standard.lines().forEach(print::println);
      print.flush();
    }
  }

  private int pairs(Batch batch, PairRules rules) {
    Batch good = batch.goodUnits();
    Parsed<Pairing> matched = Pairing.of(good, rules);
    if (!matched.isSound()) {
      Printed.problems(spec.commandLine().getErr(), matched.problems());
      return ExitCodes.BAD_INPUT;
    }
    PrintWriter print = spec.commandLine().getOut();
    if (json) {
      Map<String, Object> tree = new LinkedHashMap<>(PairsPrinted.tree(batch, matched.value()));
      tree.put("calibration", BatchPages.calibration(good));
      Printed.json(print, tree);
    } else {
      PairsPrinted.lines(batch, matched.value()).forEach(print::println);
      BatchPages.uncalibrated(good).ifPresent(print::println);
      print.flush();
    }
    return ExitCodes.GOOD;
  }

  private int chart(Batch batch, List<Series> all) throws IOException {
    if (chart == null || out == null) {
      throw wrong("found --chart or --out alone; expected --chart RESULT --out FILE");
    }
    ChartChoice choice = new ChartChoice(spec.commandLine());
    String kind = choice.kind(out);
    Series series = choice.one(all, chart, new Conditions(when));
    String svg =
        ChartDrawing.svg(
            subgroup == 0
                ? List.of(ChartChoice.chart(name, SeriesReport.of(series)))
                : choice.groups(name, series, subgroup));
    ShippedFonts.register();
    Durable.replace(
        out, kind.equals("svg") ? svg.getBytes(StandardCharsets.UTF_8) : Raster.png(svg), true);
    spec.commandLine().getOut().println(series.title() + ": " + out);
    BatchPages.uncalibrated(batch).ifPresent(spec.commandLine().getOut()::println);
    spec.commandLine().getOut().flush();
    return ExitCodes.GOOD;
  }

  private ParameterException wrong(String message) {
    return new ParameterException(spec.commandLine(), message);
  }
}
