package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.time.Instant;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import kitproof.console.Words;
import kitproof.document.Parsed;
import kitproof.driver.BenchClock;
import kitproof.event.Verdict;
import kitproof.journal.History;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Outlook;
import kitproof.plan.Plan;
import kitproof.plan.TimeKind;
import kitproof.plugin.Drivers;
import kitproof.run.Sequencer;
import kitproof.store.IndexPlace;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Runs a plan on one unit. */
@Command(
    name = "run",
    mixinStandardHelpOptions = true,
    description =
        "Runs a plan on the unit on the bench, judges each result, keeps a record and publishes the"
            + " verdict.",
    footer = {
      "",
      "Ctrl-C stops the run: the bench is made safe at once and the discharge is still",
      "watched; a second Ctrl-C ends that too. Then treat the unit as live.",
      "",
      "After a run that was cut short (killed, or the power failed) the bench is made safe",
      "before anything is asked or refused, and what came of it is told.",
      "",
      "A broker's user and password come from the environment: KITPROOF_MQTT_USER and",
      "KITPROOF_MQTT_PASSWORD, or KITPROOF_MQTT_PASSWORD_FILE; KITPROOF_MQTT_CA_FILE names",
      "the authority of a TLS broker.",
      "",
      "Examples:",
      "  kitproof run plan.yaml --bench bench.yaml --unit LN12-001",
      "  kitproof run plan.yaml --bench bench.yaml --unit LN12-002 --reference LN12-001",
      "  kitproof run plan.yaml --bench bench.yaml --unit LN12-001 \\",
      "      --override-lock \"A. Person: the check standard is away for calibration\"",
      "  kitproof run plan.yaml --bench bench.yaml --unit LN12-001 --batch pilot \\",
      "      --broker mqtt://broker.shop.example:1883 --records /srv/records"
    })
final class RunCommand extends OneRunCommand {
  @Option(
      names = "--unit",
      paramLabel = "SERIAL",
      description = "Serial number of the unit on the bench; asked for if it is left out.")
  private @Nullable String serial;

  @Option(
      names = "--retest",
      description = "Test a unit that has passed once more, without asking.")
  private boolean retest;

  @Mixin private BatchOptions batch = new BatchOptions();

  @Mixin private TellingOptions telling = new TellingOptions("records");

  @Mixin private ReferenceUnitOption reference = new ReferenceUnitOption();

  @Option(names = "--json", description = "Print the outcome as JSON and nothing else.")
  private boolean json;

  @Option(
      names = "--uncalibrated",
      description =
          "Run on a bench without a calibration that holds; every figure of the record says so.")
  private boolean uncalibrated;

  @Option(
      names = "--override-lock",
      paramLabel = "WHO: WHY",
      description =
          "Run on a station that its selfcheck has locked; the record, every figure and the"
              + " certificate say who opened it and why.")
  private @Nullable String overriding;

  @Option(names = "--timing", description = "Tell at the end where each second went.")
  private boolean timing;

  @Override
  public Integer call() throws IOException, InterruptedException {
    PrintWriter errors = spec.commandLine().getErr();
    Drivers drivers = plugins.usable();
    // Before anything is asked or refused: a program that was killed may have left the mains on.
    CutShort.makeSafe(telling.records(), benchFile, drivers, errors);
    batch.require(spec.commandLine());
    StationGate.Override override = StationGate.Override.of(spec.commandLine(), overriding);
    BrokerAddress address = telling.broker(spec.commandLine());
    IndexPlace place = index.place(spec.commandLine(), telling.records());
    Parsed<Prepared> prepared = Prepared.read(planFile, benchFile, drivers, uncalibrated);
    if (!prepared.isSound()) {
      Printed.problems(errors, prepared.problems());
      return ExitCodes.BAD_INPUT;
    }
    Attendance attendance = Attendance.find(json, plugins);
    List<Problem> unasked = attendance.unasked(prepared.value().plan(), prepared.value().bench());
    if (!unasked.isEmpty()) {
      Printed.problems(errors, unasked);
      return ExitCodes.BAD_INPUT;
    }
    String unit = unit(prepared.value(), attendance.nobody());
    if (!StationGate.isOfTheStation(prepared.value(), unit)) {
      prepared =
          StationGate.pass(prepared.value(), benchFile, telling.records(), override, Instant.now());
      if (!prepared.isSound()) {
        Printed.problems(errors, prepared.problems());
        return ExitCodes.BAD_INPUT;
      }
    }
    prepared =
        reference
            .in(prepared.value(), telling.records(), unit)
            .checked(read -> reference.unasked(read.plan()));
    if (!prepared.isSound()) {
      Printed.problems(errors, prepared.problems());
      return ExitCodes.BAD_INPUT;
    }
    UnitRun run = attendance.run(prepared.value(), drivers, errors);
    UnitRun.Outcome outcome = outcome(run, unit, prepared.value(), address, place);
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Map<String, Object> tree = outcome.tree();
      run.timing().filter(t -> timing).ifPresent(t -> tree.put("timing", TimingTable.tree(t)));
      Printed.json(out, tree);
    } else {
      boolean simulated = prepared.value().bench().time() == TimeKind.SIMULATED;
      run.timing()
          .filter(t -> timing)
          .ifPresent(t -> TimingTable.lines(t, simulated).forEach(out::println));
      Printed.causes(out, outcome.causes());
      outcome.overridden().ifPresent(out::println);
      out.println(verdict(outcome, Terminal.find().words()));
      out.flush();
    }
    return exitCode(outcome);
  }

  /** Instruments that a calibration is not of are found when they answer, with nothing touched. */
  private static int exitCode(UnitRun.Outcome outcome) {
    return outcome.verdict() == Verdict.ERROR && outcome.reason().startsWith(Sequencer.MISFIT)
        ? ExitCodes.BAD_INPUT
        : outcome.verdict().exitCode();
  }

  /** Which unit, and that it is meant to be tested. */
  private String unit(Prepared prepared, String nobody) throws IOException {
    Plan plan = prepared.plan();
    CommandLine command = spec.commandLine();
    UnitQuestion question =
        new UnitQuestion(Terminal.find().out(), Terminal.typed(), plan, telling.records());
    String unit = serial;
    if (unit != null) {
      Serial.require(command, plan, unit, History.units(telling.records()));
    } else if (nobody.isEmpty()) {
      unit =
          question
              .serial()
              .orElseThrow(
                  () -> new ParameterException(command, "found no serial number; expected one"));
    } else {
      throw new ParameterException(
          command, "found no --unit, and nobody to ask (" + nobody + "); expected a serial number");
    }
    Optional<History.Attempt> passed =
        History.passed(History.of(telling.records(), plan.product(), unit));
    if (passed.isPresent() && !retest && !StationGate.isOfTheStation(prepared, unit)) {
      boolean again = nobody.isEmpty() && question.again(unit, passed.get());
      if (!again) {
        throw new ParameterException(
            command,
            UnitQuestion.already(unit, passed.get()) + "; expected --retest to test it again");
      }
    }
    return unit;
  }

  private UnitRun.Outcome outcome(
      UnitRun run,
      String unit,
      Prepared prepared,
      @Nullable BrokerAddress address,
      IndexPlace place)
      throws IOException {
    PrintWriter notes = json ? spec.commandLine().getErr() : spec.commandLine().getOut();
    BenchClock clock = BenchClocks.of(prepared.bench());
    try (Session session =
        Session.open(
            telling.records(), place, address, prepared.bench(), outlook(prepared), notes)) {
      UnitRun.Outcome outcome =
          run.run(session.store(), unit, batch.name(), clock, json ? null : Terminal.find());
      session.recorded();
      return outcome;
    }
  }

  private Outlook outlook(Prepared prepared) {
    boolean simulated = prepared.bench().time() == TimeKind.SIMULATED;
    return batch.outlook(simulated ? Outlook.MEASURED : 1, simulated);
  }

  /** "LN12-003: FAIL record: …": always the last line. */
  static String verdict(UnitRun.Outcome outcome, Words words) {
    String word = outcome.verdict().toString().toUpperCase(Locale.ROOT);
    return outcome.serial()
        + ": "
        + (outcome.verdict() == Verdict.PASS ? words.good(word) : words.bad(word))
        + "   record: "
        + outcome.record();
  }

  static Map<String, Object> batch(List<UnitRun.Outcome> outcomes) {
    return Map.of("units", outcomes.stream().map(UnitRun.Outcome::tree).toList());
  }
}
