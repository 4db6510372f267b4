package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import kitproof.document.Parsed;
import kitproof.event.Verdict;
import kitproof.journal.RecordDocument;
import kitproof.mqtt.BrokerAddress;
import kitproof.mqtt.Outlook;
import kitproof.plan.Bench;
import kitproof.plugin.Drivers;
import kitproof.selfcheck.Selfcheck;
import kitproof.selfcheck.StationLock;
import kitproof.store.IndexPlace;
import kitproof.value.Location;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Checks the station itself: a run of the check standard, which locks or unlocks it. */
@Command(
    name = "selfcheck",
    mixinStandardHelpOptions = true,
    description =
        "Checks the station with its check standard, in a minute or two: holds what it finds"
            + " against the calibration and against earlier checks, and locks the station for units"
            + " where it is out of its limits.",
    footer = {
      "",
      "The bench file says which check standard, and for how long a check holds:",
      "  selfcheck: {check-standard: CS-01, hours: 24}",
      "A figure is out of limits if its normalised error against the calibration is beyond",
      "-1 to 1, or if it lies outside the control chart of "
          + Selfcheck.CHART_FROM
          + " or more earlier good checks",
      "against the same calibration. Exit code 0: good; 1: locked; others as in \"kitproof --help\".",
      "",
      "Example:",
      "  kitproof selfcheck selfcheck.yaml --bench bench.yaml"
    })
final class SelfcheckCommand extends OneRunCommand {
  @Option(names = "--json", description = "Print the outcome as JSON and nothing else.")
  private boolean json;

  @Mixin private TellingOptions telling = new TellingOptions("records");

  @Override
  public Integer call() throws IOException, InterruptedException {
    PrintWriter errors = spec.commandLine().getErr();
    Drivers drivers = plugins.usable();
    // Before anything is asked or refused: a program that was killed may have left the mains on.
    CutShort.makeSafe(telling.records(), benchFile, drivers, errors);
    BrokerAddress address = telling.broker(spec.commandLine());
    IndexPlace place = index.place(spec.commandLine(), telling.records());
    Parsed<Prepared> prepared = Prepared.read(planFile, benchFile, drivers).checked(this::problems);
    if (!prepared.isSound()) {
      Printed.problems(errors, prepared.problems());
      return ExitCodes.BAD_INPUT;
    }
    Bench bench = prepared.value().bench();
    Attendance attendance = Attendance.find(json, plugins);
    List<Problem> unasked = attendance.unasked(prepared.value().plan(), bench);
    if (!unasked.isEmpty()) {
      Printed.problems(errors, unasked);
      return ExitCodes.BAD_INPUT;
    }
    UnitRun run = attendance.run(prepared.value(), drivers, errors);
    UnitRun.Outcome outcome = outcome(run, bench, address, place);
    Selfcheck found = Selfcheck.of(RecordDocument.read(outcome.record()), telling.records());
    List<String> locked =
        StationLock.read(telling.records(), bench.station())
            .map(StationLock::reasons)
            .orElse(found.reasons());
    print(outcome, found, locked);
    return outcome.verdict() == Verdict.PASS && !locked.isEmpty()
        ? Verdict.FAIL.exitCode()
        : outcome.verdict().exitCode();
  }

  /** What keeps this from being a check of the station. */
  private List<Problem> problems(Prepared prepared) {
    Location place = Location.of(benchFile.toString());
    if (prepared.bench().selfcheck().isEmpty()) {
      return List.of(
          Problem.of(
              place,
              "no selfcheck in the bench file",
              "its check standard, such as selfcheck: {check-standard: CS-01, hours: 24}"));
    }
    return prepared.bench().standing().calibration().isEmpty()
        ? List.of(
            Problem.of(
                place,
                "no calibration that the check could be held against",
                "that of \"kitproof calibrate\", beside the bench file"))
        : List.of();
  }

  private UnitRun.Outcome outcome(
      UnitRun run, Bench bench, @Nullable BrokerAddress address, IndexPlace place)
      throws IOException {
    PrintWriter notes = json ? spec.commandLine().getErr() : spec.commandLine().getOut();
    try (Session session =
        Session.open(telling.records(), place, address, bench, new Outlook(0, 1), notes)) {
      String standard = bench.selfcheck().orElseThrow().checkStandard();
      UnitRun.Outcome outcome =
          run.run(
              session.store(), standard, "", BenchClocks.of(bench), json ? null : Terminal.find());
      session.recorded();
      return outcome;
    }
  }

  private void print(UnitRun.Outcome outcome, Selfcheck found, List<String> locked) {
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Map<String, Object> tree = outcome.tree();
      tree.put("locked", !locked.isEmpty());
      tree.put("reasons", locked);
      tree.put("warnings", found.warnings());
      tree.put("figures", found.figures().stream().map(SelfcheckCommand::tree).toList());
      Printed.json(out, tree);
      return;
    }
    out.println(
        String.format(Locale.ROOT, "%-62s %14s %8s  %s", "figure", "found", "E_n", "chart"));
    for (Selfcheck.Line line : found.figures()) {
      out.println(
          String.format(
              Locale.ROOT,
              "%-62s %14s %8s  %s",
              line.title(),
              line.found().display(5),
              line.error().map(SelfcheckCommand::normalised).orElse("-"),
              line.chart()));
    }
    found.warnings().forEach(warning -> out.println("note: " + warning));
    locked.forEach(reason -> out.println("LOCKED: " + reason));
    if (!locked.isEmpty()) {
      out.println(
          "What to do: look at leads, loads and meter first; then repair, or calibrate anew with"
              + " \"kitproof calibrate\"; then selfcheck again. Until then this station tests no"
              + " units.");
    } else {
      out.println("station unlocked");
    }
    out.println(RunCommand.verdict(outcome, Terminal.find().words()));
    out.flush();
  }

  /** With two decimals, nothing having no sign. */
  private static String normalised(double error) {
    String text = String.format(Locale.ROOT, "%.2f", error);
    return text.equals("-0.00") ? "0.00" : text;
  }

  private static Map<String, Object> tree(Selfcheck.Line line) {
    Map<String, Object> tree = new LinkedHashMap<>();
    tree.put("title", line.title());
    tree.put("found", line.found().toString());
    Optional.of(line)
        .flatMap(Selfcheck.Line::error)
        .ifPresent(e -> tree.put("normalised-error", e));
    tree.put("earlier", line.earlier());
    if (Double.isFinite(line.low())) {
      tree.put("chart-low", line.low());
    }
    if (Double.isFinite(line.high())) {
      tree.put("chart-high", line.high());
    }
    return tree;
  }
}
