package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.Callable;
import kitproof.document.Parsed;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.value.Figure;
import kitproof.value.Problem;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** A run measured again on its captures. */
@Command(
    name = "record",
    mixinStandardHelpOptions = true,
    description =
        "Measures a run again on the captures that were kept beside its record, by the procedures"
            + " of its plan, and shows each figure beside the one on record. Changes nothing.",
    footer = {
      "",
      "A plan keeps captures with \"captures: failed\" or \"captures: all\", as FLAC with",
      "\"captures: {keep: all, as: flac}\".",
      "",
      "Example:",
      "  kitproof analyze record records/20261125T101500.123Z-LN12-001.json \\",
      "      --plan plan.yaml --bench bench.yaml"
    })
final class AnalyzeRecordCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Parameters(paramLabel = "RECORD", description = "The record's document.")
  private Path document = Path.of("");

  @Option(names = "--plan", required = true, paramLabel = "FILE", description = "Its plan.")
  private Path planFile = Path.of("");

  @Option(names = "--bench", required = true, paramLabel = "FILE", description = "Its bench file.")
  private Path benchFile = Path.of("");

  @Option(names = "--json", description = "Print JSON for a program to read.")
  private boolean json;

  @Override
  public Integer call() throws IOException, InterruptedException {
    Parsed<Plan> plan = PlanReader.read(planFile);
    Parsed<Bench> bench = BenchReader.read(benchFile);
    List<Problem> problems = new ArrayList<>(plan.problems());
    problems.addAll(bench.problems());
    PrintWriter errors = spec.commandLine().getErr();
    if (!problems.isEmpty()) {
      Printed.problems(errors, problems);
      return ExitCodes.BAD_INPUT;
    }
    RunRecord record = RecordDocument.read(document);
    Path records = document.toAbsolutePath().resolveSibling("");
    Remeasured again = Remeasured.of(record, records, plan.value(), bench.value());
    if (again.pairs().isEmpty() && again.troubles().isEmpty()) {
      throw new ParameterException(
          spec.commandLine(), document + ": found no captures; expected a record that has some");
    }
    CapturesOption.others(record, planFile, benchFile).forEach(errors::println);
    again.troubles().forEach(trouble -> errors.println("not measured again: " + trouble));
    errors.flush();
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Map<String, Object> tree = new LinkedHashMap<>();
      tree.put("run", record.run());
      tree.put("results", again.pairs().stream().map(AnalyzeRecordCommand::tree).toList());
      tree.put("troubles", again.troubles());
      Printed.json(out, tree);
    } else {
      again.pairs().forEach(pair -> out.println(line(pair)));
      out.flush();
    }
    return again.troubles().isEmpty() ? ExitCodes.GOOD : ExitCodes.BAD_INPUT;
  }

  private static String line(Remeasured.Pair pair) {
    return String.format(
        Locale.ROOT,
        "%-44s %-28s record: %s",
        pair.now().title(),
        Analysed.figure(pair.now().figure()),
        Analysed.figure(pair.before().figure()));
  }

  private static Map<String, Object> tree(Remeasured.Pair pair) {
    Map<String, Object> tree = new LinkedHashMap<>(Analysed.tree(pair.now()));
    Map<String, Object> before = Analysed.tree(pair.before());
    tree.put("record", before.getOrDefault("value", before.get("y")));
    if (pair.before().figure() instanceof Figure.Invalid invalid) {
      tree.put("record-invalid", invalid.reason());
    }
    return tree;
  }
}
