package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.time.format.DateTimeParseException;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import kitproof.calibration.Calibration;
import kitproof.calibration.CalibrationText;
import kitproof.console.Conversation;
import kitproof.document.Parsed;
import kitproof.driver.BenchClock;
import kitproof.driver.SimulatedClock;
import kitproof.event.Verdict;
import kitproof.journal.Durable;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.mqtt.Outlook;
import kitproof.operator.PersonDriver;
import kitproof.plan.Bench;
import kitproof.plan.TimeKind;
import kitproof.plugin.Drivers;
import kitproof.run.CalibrationOnBench;
import kitproof.run.Preflight;
import kitproof.value.Measurement;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Calibrates a bench: a run of a plan of calibrations, folded into the file beside the bench. */
@Command(
    name = "calibrate",
    mixinStandardHelpOptions = true,
    description =
        "Runs a plan that calibrates the bench, asking for what has to be connected, and writes"
            + " what it found beside the bench file: bench.yaml to bench.calibration.yaml.",
    footer = {
      "",
      "The file is replaced only if the run passes; certificates of instruments in it are kept.",
      "",
      "Example:",
      "  kitproof calibrate calibration.yaml --bench bench.yaml --due 2027-05-31 --by \"A. Person\""
    })
final class CalibrateCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Parameters(paramLabel = "PLAN", description = "The plan of the calibration.")
  private Path planFile = Path.of("");

  @Option(names = "--bench", required = true, paramLabel = "FILE", description = "The bench file.")
  private Path benchFile = Path.of("");

  @Option(
      names = "--due",
      paramLabel = "DAY",
      description = "The last day on which it will hold; a real bench needs one.")
  private @Nullable String due;

  @Option(names = "--by", paramLabel = "NAME", description = "Who does it.")
  private String by = "";

  @Option(
      names = "--records",
      paramLabel = "DIR",
      defaultValue = "records",
      description = "Folder of journals and records (default: ${DEFAULT-VALUE}).")
  private Path records = Path.of("");

  @Mixin private PluginsOption plugins = new PluginsOption();

  @Override
  public Integer call() throws IOException, InterruptedException {
    PrintWriter errors = spec.commandLine().getErr();
    Drivers drivers = plugins.usable();
    // Before anything is refused: a program that was killed may have left the mains on.
    CutShort.makeSafe(records, benchFile, drivers, errors);
    LocalDate last = due();
    // What is being calibrated is measured as the instruments show it.
    Parsed<Prepared> prepared = Prepared.read(planFile, benchFile, drivers, true);
    if (!prepared.isSound()) {
      Printed.problems(errors, prepared.problems());
      return ExitCodes.BAD_INPUT;
    }
    Bench bench = prepared.value().bench();
    if (last == null && bench.time() == TimeKind.REAL) {
      throw new ParameterException(
          spec.commandLine(), "found no --due; expected the last day on which it will hold");
    }
    String nobody = Terminal.find().person() ? "" : "no terminal";
    List<Problem> unasked = Preflight.nobodyToAsk(prepared.value().plan(), bench, nobody);
    if (!unasked.isEmpty()) {
      Printed.problems(errors, unasked);
      return ExitCodes.BAD_INPUT;
    }
    boolean asks =
        bench.roles().values().stream().anyMatch(r -> r.driver().equals(PersonDriver.ID));
    UnitRun run =
        new UnitRun(
            prepared.value(),
            drivers,
            asks ? new Conversation(plugins.desk(), Terminal.typed()) : null,
            null);
    Signals.handle(() -> run.stopAndSay(errors));
    UnitRun.Outcome outcome = outcome(run, bench);
    PrintWriter out = spec.commandLine().getOut();
    if (outcome.verdict() == Verdict.PASS) {
      write(bench, RecordDocument.read(outcome.record()), last);
      out.println("calibration: " + Calibration.beside(benchFile));
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

  private UnitRun.Outcome outcome(UnitRun run, Bench bench) throws IOException {
    BenchClock clock =
        bench.time() == TimeKind.SIMULATED
            ? new SimulatedClock(Instant.now())
            : new SystemBenchClock(1);
    PrintWriter notes = spec.commandLine().getOut();
    boolean simulated = bench.time() == TimeKind.SIMULATED;
    Outlook outlook = new Outlook(0, simulated ? Outlook.MEASURED : 1);
    try (Session session = Session.open(records, null, bench, outlook, notes)) {
      UnitRun.Outcome outcome =
          run.run(session.store(), bench.station(), "", clock, Terminal.find());
      session.recorded();
      return outcome;
    }
  }

  private void write(Bench bench, RunRecord record, @Nullable LocalDate last) throws IOException {
    Path file = Calibration.beside(benchFile);
    Optional<Calibration> before = Optional.empty();
    if (Files.exists(file)) {
      Parsed<Calibration> read = Calibration.read(file);
      before = read.isSound() ? Optional.of(read.value()) : Optional.empty();
    }
    List<Measurement> found =
        record.steps().stream()
            .flatMap(step -> step.results().stream())
            .map(RunRecord.Result::measurement)
            .toList();
    CalibrationText.Origin origin =
        new CalibrationText.Origin(
            bench.name(),
            record.started().atOffset(ZoneOffset.UTC).toLocalDate(),
            last,
            by,
            record.run(),
            record.instruments());
    String text = CalibrationText.of(schema(file), origin, found, before);
    Parsed<Calibration> again =
        Calibration.read(file.toString(), text)
            .checked(calibration -> CalibrationOnBench.check(calibration, bench));
    if (!again.isSound()) { // never a file that the next run would refuse
      throw new IOException("the calibration does not fit the bench:\n" + again);
    }
    Durable.replace(file, text, true);
  }

  private static String schema(Path file) {
    Path folder = file.toAbsolutePath().getParent();
    Path schema =
        Home.find().example("").resolve("../../schemas/calibration.schema.json").normalize();
    return folder == null
        ? schema.toString()
        : folder.relativize(schema.toAbsolutePath()).toString();
  }
}
