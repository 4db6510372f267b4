package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import kitproof.batch.RecordFolder;
import kitproof.batch.RunSource;
import kitproof.document.Parsed;
import kitproof.event.Verdict;
import kitproof.gauge.GaugeReport;
import kitproof.gauge.GaugeSeries;
import kitproof.gauge.GaugeText;
import kitproof.gauge.GaugeTree;
import kitproof.gauge.Study;
import kitproof.gauge.StudyFolder;
import kitproof.gauge.Trialled;
import kitproof.journal.SafeName;
import kitproof.limit.LimitFile;
import kitproof.plan.TimeKind;
import kitproof.plugin.Drivers;
import kitproof.report.GaugeStudyReport;
import kitproof.value.Nearest;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** What the station itself adds to the spread of its results. */
@Command(
    name = "gauge-study",
    mixinStandardHelpOptions = true,
    description =
        "Leads through a gauge study, units by appraisers or reloads by repeats, with the real plan,"
            + " and says of each limit whether the station can judge it.",
    footer = {
      "",
      "With --plan and --bench it does the trials that are still to do, in an order drawn by lot;",
      "stopped, it goes on with the same command. Without them it tells what the records say.",
      "Each trial is an ordinary run in a folder of its own, DIR/gauge/NAME: no attempt of the",
      "unit, in no yield, in no index and told to no broker.",
      "",
      "Caution: units are connected many times over. Mains off, and the high voltage measured",
      "as discharged, before every one. Follow your local codes.",
      "",
      "Examples:",
      "  kitproof gauge-study spring --plan plan.yaml --bench bench.yaml \\",
      "      --units LN12-001,LN12-004,LN12-007 --appraisers Ann,Ben,Cleo --repeats 3 --blind",
      "  kitproof gauge-study fixture --plan plan.yaml --bench bench.yaml \\",
      "      --units LN12-001,LN12-004 --reloads 4",
      "  kitproof gauge-study spring --report reports --maker maker.yaml",
      "  kitproof gauge-study spring --limits revision-c.yaml --at \"20 kHz\" --json",
      "  kitproof gauge-study pilot --of-batch --by day"
    })
final class GaugeStudyCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Parameters(paramLabel = "NAME", description = "The study; with --of-batch a batch.")
  private String name = "";

  @Option(names = "--plan", paramLabel = "FILE", description = "The plan of the trials.")
  private @Nullable Path planFile;

  @Option(names = "--bench", paramLabel = "FILE", description = "The bench file.")
  private @Nullable Path benchFile;

  @Mixin private StudyOptions design = new StudyOptions();

  @Option(
      names = "--trials",
      paramLabel = "N",
      description = "Do so many now; the study goes on another time.")
  private @Nullable Integer most;

  @Mixin private RecordsOption records = new RecordsOption();

  @Option(names = "--of-batch", description = "Read the ordinary runs of batch NAME as a study.")
  private boolean ofBatch;

  @Option(
      names = "--by",
      paramLabel = "WHAT",
      defaultValue = "station",
      description = "With --of-batch, what is compared: station or day (default: station).")
  private Study.By by = Study.By.STATION;

  @Option(
      names = "--time-zone",
      paramLabel = "ZONE",
      defaultValue = "UTC",
      description = "Whose days (default: ${DEFAULT-VALUE}).")
  private ZoneId zone = ZoneOffset.UTC;

  @Option(
      names = "--limits",
      paramLabel = "FILE",
      description = "Limits to ask about instead of those in the records.")
  private @Nullable Path limitFile;

  @Option(
      names = "--at",
      paramLabel = "PLACE",
      description = "Look at curves there, such as \"20 kHz\". Can be repeated.")
  private List<String> places = List.of();

  @Mixin private ResultOptions results = new ResultOptions();

  @Mixin private ReportOption pages = new ReportOption();

  @Mixin private PluginsOption plugins = new PluginsOption();

  @Option(
      names = "--uncalibrated",
      description = "Run on a bench without a calibration that holds; every record says so.")
  private boolean uncalibrated;

  @Option(names = "--json", description = "Print JSON for a program to read.")
  private boolean json;

  @Override
  public Integer call() throws IOException, InterruptedException {
    if (benchFile != null) {
      // Before anything is asked or refused: a program that was killed may have left the mains on.
      PrintWriter errors = spec.commandLine().getErr();
      CutShort.makeSafe(records.named(), benchFile, plugins.usable(), errors);
    }
    requireTogether();
    List<Quantity> looks = places.stream().map(this::place).toList();
    LimitFile limits = null;
    if (limitFile != null) {
      Parsed<LimitFile> read = LimitFile.read(limitFile);
      if (!read.isSound()) {
        Printed.problems(spec.commandLine().getErr(), read.problems());
        return ExitCodes.BAD_INPUT;
      }
      limits = read.value();
    }
    if (!pages.isSound(spec.commandLine())) {
      return ExitCodes.BAD_INPUT;
    }
    GaugeSeries.Question question = new GaugeSeries.Question(limits, looks, results::include);
    if (ofBatch) {
      RunSource.Found found = records.runs(spec.commandLine(), name);
      List<Trialled> trials = Trialled.of(found.runs(), by, zone);
      return told(GaugeReport.of(name, by, null, trials, question, found.unreadable()), 0);
    }
    int code = ExitCodes.GOOD;
    StudyFolder folder = new StudyFolder(records.named(), name);
    if (planFile != null && benchFile != null) {
      Optional<Integer> ended = trials(folder, planFile, benchFile);
      if (ended.isPresent() && ended.get() == ExitCodes.BAD_INPUT) {
        return ExitCodes.BAD_INPUT;
      }
      code = ended.orElse(ExitCodes.GOOD);
    }
    Study study = folder.study().orElseThrow(() -> unknown(folder));
    RunSource.Found found = new RecordFolder(folder.folder()).runs();
    RecordsOption.tell(spec.commandLine(), found);
    List<Trialled> done = Trialled.of(study, found.runs());
    return told(GaugeReport.of(name, study.by(), study, done, question, found.unreadable()), code);
  }

  private void requireTogether() {
    new Together(spec.commandLine())
        .oneOf("--appraisers", "--reloads")
        .oneOf("--json", "--report")
        .excludes(
            "--of-batch",
            "its runs are done already; expected a study of its own",
            "--plan",
            "--units",
            "--appraisers",
            "--reloads",
            "--blind")
        .needs("--plan", "--bench")
        .needs("--bench", "--plan")
        .needs("--units", "--plan")
        .needs("--appraisers", "--plan")
        .needs("--reloads", "--plan")
        .needs("--repeats", "--plan")
        .needs("--blind", "--plan")
        .needs("--seed", "--plan")
        .needs("--trials", "--plan")
        .needs("--uncalibrated", "--plan")
        .needs("--by", "--of-batch")
        .needs("--time-zone", "--of-batch")
        .needs("--maker", "--report")
        .needs("--paper", "--report");
    if (by != Study.By.STATION && by != Study.By.DAY) {
      throw wrong("--by: found \"" + by + "\"; expected station or day");
    }
    Serial.requirePrintable(spec.commandLine(), "NAME", name);
    if (name.isBlank()) {
      throw wrong("found no name of the study; expected one");
    }
  }

  private Quantity place(String text) {
    try {
      return Quantity.parse(text);
    } catch (IllegalArgumentException e) {
      throw new ParameterException(
          spec.commandLine(),
          "--at: found \"" + text + "\"; expected a quantity, such as \"20 kHz\"",
          e);
    }
  }

  private ParameterException unknown(StudyFolder folder) {
    List<String> names;
    try {
      names = StudyFolder.names(folder.records());
    } catch (IOException e) {
      names = List.of();
    }
    return wrong(
        "found no study \""
            + name
            + "\" in "
            + folder.records()
            + "; expected "
            + (names.isEmpty() ? "--plan and --bench to begin it" : String.join(", ", names))
            + Nearest.to(name, names).map(n -> "; did you mean \"" + n + "\"?").orElse(""));
  }

  /** Goes on with the study; the code to end with if something was in the way, else empty. */
  private Optional<Integer> trials(StudyFolder folder, Path plan, Path bench) throws IOException {
    PrintWriter errors = spec.commandLine().getErr();
    Drivers drivers = plugins.usable();
    Parsed<Prepared> read = Prepared.read(plan, bench, drivers, uncalibrated);
    if (!read.isSound()) {
      Printed.problems(errors, read.problems());
      return Optional.of(ExitCodes.BAD_INPUT);
    }
    read = StationGate.pass(read.value(), bench, folder.records(), null, Instant.now());
    if (!read.isSound()) {
      Printed.problems(errors, read.problems());
      return Optional.of(ExitCodes.BAD_INPUT);
    }
    read = ReferenceUnitOption.inPlan(read.value(), folder.records(), "");
    if (!read.isSound()) {
      Printed.problems(errors, read.problems());
      return Optional.of(ExitCodes.BAD_INPUT);
    }
    Prepared prepared = read.value();
    Optional<Study> before = folder.study();
    Study study =
        before.isPresent()
            ? design.same(spec.commandLine(), before.get(), prepared)
            : design.drawn(spec.commandLine(), name, prepared);
    Attendance attendance = Attendance.find(json, plugins);
    List<Problem> unasked =
        attendance.unasked(
            GaugePrompt.before(prepared.plan(), prepared.bench(), study, study.order().get(0)),
            prepared.bench());
    if (!unasked.isEmpty()) {
      Printed.problems(errors, unasked);
      return Optional.of(ExitCodes.BAD_INPUT);
    }
    if (GaugePrompt.operator(prepared.bench()).isEmpty()
        && !attendance.nobody().isEmpty()
        && prepared.bench().time() == TimeKind.REAL) {
      throw wrong(
          "found nobody who connects the units ("
              + attendance.nobody()
              + "); expected a terminal, or an operator in the bench file");
    }
    if (before.isEmpty()) {
      folder.keep(study);
      if (study.blind()) {
        errors.println(
            "note: labels for the units: "
                + folder.key()
                + " (for whoever prepares them, not for who measures)");
        errors.flush();
      }
    }
    GaugeTrials trials =
        new GaugeTrials(
            study,
            folder,
            prepared,
            drivers,
            attendance.conversation(prepared.bench()),
            json ? null : Terminal.find(),
            json ? errors : spec.commandLine().getOut());
    Signals.handle(() -> trials.stop(errors));
    return trials.goOn(most == null ? Integer.MAX_VALUE : most).map(Verdict::exitCode);
  }

  private int told(GaugeReport report, int code) throws IOException {
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Map<String, Object> tree = new LinkedHashMap<>(GaugeTree.of(report));
      tree.put("calibration", GaugePages.calibration(report));
      Printed.json(out, tree);
    } else if (pages.isWanted()) {
      out.println("Report of gauge study " + name + ":");
      pages
          .write(
              "gauge-" + SafeName.ofFile(report.name()),
              maker -> new GaugeStudyReport(GaugePages.of(report), maker))
          .forEach(file -> out.println("  " + file));
    } else {
      GaugeText.lines(report).forEach(out::println);
      out.println("calibration: " + GaugePages.calibration(report));
    }
    out.flush();
    return code;
  }

  private ParameterException wrong(String message) {
    return new ParameterException(spec.commandLine(), message);
  }
}
