package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.time.format.DateTimeParseException;
import java.util.List;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.calibration.CalibrationText;
import kitproof.calibration.Entered;
import kitproof.document.Parsed;
import kitproof.event.Verdict;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.mqtt.Outlook;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.plan.TimeKind;
import kitproof.plugin.Drivers;
import kitproof.store.IndexPlace;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Calibrates a bench: a run of a plan of calibrations, folded into the file beside the bench. */
@Command(
    name = "calibrate",
    mixinStandardHelpOptions = true,
    description =
        "Runs a plan that calibrates the bench, asking for what has to be connected, and writes"
            + " what it found beside the bench file: bench.yaml to bench.calibration.yaml.",
    footer = {
      "",
      "The file is replaced only if the run passes; what it says of the same",
      "instruments (certificates, limits of error, corrections) is kept.",
      "",
      "Example:",
      "  kitproof calibrate calibration.yaml --bench bench.yaml --due 2027-05-31 --by \"A."
          + " Person\"",
      "  kitproof calibrate calibration.yaml --bench bench.yaml \\",
      "      --certificate \"line-meter: C-17, 2026-03-01, 2027-02-28, A Laboratory\" \\",
      "      --accuracy \"hv-meter: hv, +/-(0.05 % + 3 digits), resolution 0.1 V\""
    })
final class CalibrateCommand extends OneRunCommand {
  @Option(
      names = "--due",
      paramLabel = "DAY",
      description =
          "The last day on which it will hold (default: as many days from today as the plan's"
              + " holds-days says; a real bench needs one of the two).")
  private @Nullable String due;

  @Option(
      names = "--by",
      paramLabel = "NAME",
      description = "Who does it (default: asked at a terminal).")
  private String by = "";

  @Mixin private InstrumentOptions instruments = new InstrumentOptions();

  @Option(
      names = "--records",
      paramLabel = "DIR",
      defaultValue = "records",
      description = "Folder of journals and records (default: ${DEFAULT-VALUE}).")
  private Path records = Path.of("");

  @Override
  public Integer call() throws IOException, InterruptedException {
    PrintWriter errors = spec.commandLine().getErr();
    Drivers drivers = plugins.usable();
    // Before anything is refused: a program that was killed may have left the mains on.
    CutShort.makeSafe(records, benchFile, drivers, errors);
    IndexPlace place = index.place(spec.commandLine(), records);
    LocalDate stated = due();
    Entered entered = instruments.entered(spec.commandLine());
    Parsed<Prepared> prepared =
        Prepared.read(planFile, benchFile, drivers, true)
            .map(read -> read.calibrating(CalibrationFiles.before(benchFile)));
    if (!prepared.isSound()) {
      Printed.problems(errors, prepared.problems());
      return ExitCodes.BAD_INPUT;
    }
    Bench bench = prepared.value().bench();
    Plan plan = prepared.value().plan();
    if (!plan.calibrates()) {
      throw new ParameterException(
          spec.commandLine(),
          "found no calibrate-… step in " + planFile + "; expected one or more");
    }
    List<Problem> damaged =
        CalibrationFiles.ofPapers(benchFile, bench, entered, InstrumentOptions.PLACE);
    if (!damaged.isEmpty()) {
      Printed.problems(errors, damaged);
      return ExitCodes.BAD_INPUT;
    }
    LocalDate last =
        stated == null ? CalibrationFiles.due(plan, bench, LocalDate.now(ZoneOffset.UTC)) : stated;
    if (last == null && bench.time() == TimeKind.REAL) {
      throw new ParameterException(
          spec.commandLine(),
          "found no --due; expected the last day on which it will hold, or holds-days in the"
              + " plan");
    }
    Attendance attendance = Attendance.find(false, plugins);
    List<Problem> unasked = attendance.unasked(plan, bench);
    if (!unasked.isEmpty()) {
      Printed.problems(errors, unasked);
      return ExitCodes.BAD_INPUT;
    }
    PrintWriter out = spec.commandLine().getOut();
    boolean asked = attendance.nobody().isEmpty();
    String named = WhoCalibrates.plain(by);
    String person = named.isEmpty() && asked ? WhoCalibrates.ask(Terminal.typed(), out) : named;
    UnitRun run = attendance.run(prepared.value(), drivers, errors);
    UnitRun.Outcome outcome = outcome(run, bench, place);
    if (outcome.verdict() == Verdict.PASS) {
      RunRecord record = RecordDocument.read(outcome.record());
      Optional<Calibration> before = CalibrationFiles.before(benchFile);
      Path file = CalibrationFiles.write(bench, benchFile, record, last, entered.by(person));
      before.stream()
          .flatMap(of -> CalibrationText.dropped(of, record.instruments()).stream())
          .forEach(line -> out.println("note: not kept: " + line));
      if (person.isEmpty()) {
        out.println("note: the file does not say who calibrated; --by does");
      }
      out.println("calibration: " + file);
    }
    out.println(RunCommand.verdict(outcome, Terminal.find().words()));
    out.flush();
    return outcome.verdict().exitCode();
  }

  private @Nullable LocalDate due() {
    if (due == null) {
      return null;
    }
    try {
      return LocalDate.parse(due);
    } catch (DateTimeParseException e) {
      throw new ParameterException(
          spec.commandLine(),
          "--due: found \"" + due + "\"; expected a day, such as 2027-05-31",
          e);
    }
  }

  private UnitRun.Outcome outcome(UnitRun run, Bench bench, IndexPlace place) throws IOException {
    PrintWriter notes = spec.commandLine().getOut();
    boolean simulated = bench.time() == TimeKind.SIMULATED;
    Outlook outlook = new Outlook(0, simulated ? Outlook.MEASURED : 1);
    try (Session session = Session.open(records, place, null, bench, outlook, notes)) {
      UnitRun.Outcome outcome =
          run.run(session.store(), bench.station(), "", BenchClocks.of(bench), Terminal.find());
      session.recorded();
      return outcome;
    }
  }
}
