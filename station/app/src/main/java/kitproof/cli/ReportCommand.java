package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.TreeSet;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import kitproof.cause.CauseFile;
import kitproof.cause.Found;
import kitproof.document.Parsed;
import kitproof.event.Verdict;
import kitproof.journal.RecordDocument;
import kitproof.journal.RecordHead;
import kitproof.journal.RunRecord;
import kitproof.journal.SafeName;
import kitproof.report.Certificate;
import kitproof.report.Report;
import kitproof.report.WorkshopSheet;
import kitproof.value.Nearest;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** Makes the certificate of one unit from its record. */
@Command(
    name = "report",
    mixinStandardHelpOptions = true,
    description =
        "Makes the certificate of one unit from its last record: one HTML file and one PDF, each"
            + " whole in itself. A unit that did not pass gets a test report.",
    footer = {
      "",
      "Examples:",
      "  kitproof report --unit LN12-001 --out certificates",
      "  kitproof report --unit LN12-002 --workshop causes.yaml --out workshop",
      "  kitproof report --unit LN12-001 --uncertainty --result gain",
      "  kitproof report --unit LN12-001 --maker maker.yaml --paper letter --out certificates"
    })
final class ReportCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Option(
      names = "--unit",
      required = true,
      paramLabel = "SERIAL",
      description = "Serial number of the unit.")
  private String unit = "";

  @Option(
      names = "--run",
      paramLabel = "NAME",
      description = "This run of the unit; the last one otherwise.")
  private @Nullable String run;

  @Option(
      names = "--records",
      paramLabel = "DIR",
      defaultValue = "records",
      description = "Folder of records (default: ${DEFAULT-VALUE}).")
  private Path records = Path.of("");

  @Mixin private LetterheadOptions letterhead = new LetterheadOptions();

  @Option(
      names = "--workshop",
      paramLabel = "CAUSES",
      description =
          "Write a sheet for the workshop instead, with what failed and what this table of probable"
              + " causes says of it; of a unit that did not pass, and never for its customer.")
  private @Nullable Path causesFile;

  @Option(
      names = "--uncertainty",
      description =
          "Print instead what makes each figure uncertain, line by line: the budget of a scalar, and"
              + " of a curve where it is known least.")
  private boolean uncertainty;

  @Option(
      names = "--result",
      paramLabel = "NAME",
      defaultValue = "",
      description = "With --uncertainty, the results of this name only.")
  private String result = "";

  @Option(
      names = "--out",
      paramLabel = "DIR",
      description =
          "Folder for SERIAL.html and SERIAL.pdf; what is there is replaced. Needed but with"
              + " --uncertainty.")
  private @Nullable Path folder;

  private Path out = Path.of("");

  @Override
  public Integer call() throws IOException {
    new Together(spec.commandLine())
        .excludes(
            "--workshop",
            "a sheet for the workshop has no letterhead; expected one of them",
            "--maker")
        .excludes(
            "--uncertainty",
            "it prints budgets and writes no report; expected one of them",
            "--out",
            "--workshop",
            "--maker",
            "--paper")
        .needs("--result", "--uncertainty");
    if (!letterhead.isSound(spec.commandLine())) {
      return ExitCodes.BAD_INPUT;
    }
    if (folder == null && !uncertainty) {
      throw wrong(
          "missing --out DIR, the folder for the report; or --uncertainty to print budgets");
    }
    out = folder == null ? out : folder;
    Path document = document();
    RunRecord record;
    try {
      record = RecordDocument.read(document);
    } catch (IOException e) {
      throw wrong(e.getMessage() + "; expected the record of a run");
    }
    if (uncertainty) {
      return budgets(record);
    }
    if (causesFile != null) {
      return workshop(record, causesFile);
    }
    Certificate certificate = new Certificate(record, Digest.of(document), letterhead.maker());
    return write(certificate, "", certificate.title() + " of run " + record.run());
  }

  private int write(Report report, String ending, String title) throws IOException {
    PrintWriter told = spec.commandLine().getOut();
    List<Path> files = letterhead.write(report, out, SafeName.ofFile(unit) + ending);
    told.println(title + ":");
    files.forEach(file -> told.println("  " + file));
    told.flush();
    return ExitCodes.GOOD;
  }

  private int budgets(RunRecord record) {
    Collection<String> names = new TreeSet<>();
    record.steps().stream()
        .flatMap(step -> step.results().stream())
        .forEach(one -> names.add(one.measurement().name()));
    if (!result.isEmpty() && !names.contains(result)) {
      throw wrong(
          "--result: found no \"" + result + "\" in run " + record.run() + hint(result, names));
    }
    new BudgetsPrinted(spec.commandLine().getOut()).print(record, result);
    return ExitCodes.GOOD;
  }

  private int workshop(RunRecord record, Path causesFile) throws IOException {
    if (record.verdict() == Verdict.PASS) {
      throw wrong("--workshop: run " + record.run() + " passed; expected one that did not");
    }
    Parsed<CauseFile> causes = CauseFile.read(causesFile, record.product());
    if (!causes.isSound()) {
      Printed.problems(spec.commandLine().getErr(), causes.problems());
      return ExitCodes.BAD_INPUT;
    }
    WorkshopSheet sheet =
        new WorkshopSheet(
            record,
            causes
                .value()
                .suggest(
                    record.steps().stream()
                        .flatMap(step -> step.results().stream())
                        .map(result -> new Found(result.measurement(), result.judgement()))
                        .toList()));
    return write(sheet, "-workshop", "Workshop sheet of run " + record.run());
  }

  /** The unit's document that is wanted; runs sort by time. */
  private Path document() throws IOException {
    if (!Files.isDirectory(records)) {
      throw wrong("--records: found no folder " + records + "; expected a folder of records");
    }
    List<String> runs = new ArrayList<>();
    Collection<String> units = new TreeSet<>();
    Path last = null;
    RecordHead lastHead = null;
    for (Path file : documents()) {
      RecordHead head;
      try {
        head = RecordHead.read(file);
      } catch (IOException e) {
        spec.commandLine().getErr().println("note: left out: " + e.getMessage());
        continue;
      }
      units.add(head.unit());
      if (!head.unit().equals(unit)) {
        continue;
      }
      runs.add(head.run());
      boolean later = lastHead == null || head.started().isAfter(lastHead.started());
      if (run == null ? later : run.equals(head.run())) {
        last = file;
        lastHead = head;
      }
    }
    if (runs.isEmpty()) {
      throw wrong("--unit: found no record of \"" + unit + "\" in " + records + hint(unit, units));
    }
    if (last == null) {
      throw wrong(
          "--run: found \""
              + run
              + "\"; expected one of "
              + String.join(", ", runs)
              + hint(String.valueOf(run), runs));
    }
    return last;
  }

  private List<Path> documents() throws IOException {
    try (Stream<Path> files = Files.list(records)) {
      return files.filter(f -> f.toString().endsWith(".json")).sorted().toList();
    }
  }

  private static String hint(String found, Collection<String> valid) {
    return Nearest.to(found, valid).map(n -> "; did you mean \"" + n + "\"?").orElse("");
  }

  private ParameterException wrong(String message) {
    return new ParameterException(spec.commandLine(), message);
  }
}
