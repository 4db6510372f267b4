package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import kitproof.batch.Rejudgement;
import kitproof.batch.Rejudging;
import kitproof.batch.RunSource;
import kitproof.document.Parsed;
import kitproof.event.Verdict;
import kitproof.journal.RunRecord;
import kitproof.limit.LimitFile;
import kitproof.run.Preflight;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

/** Judges stored results by other limits. */
@Command(
    name = "rejudge",
    mixinStandardHelpOptions = true,
    description =
        "Judges the results in the records by other limits, without any unit: says which runs would"
            + " change their verdict, and why.",
    footer = {
      "",
      "Records are never changed. With --write the new judgements are kept beside them, in",
      "DIR/rejudged, a file for each run and limit file, and another if the figures were measured",
      "again (--captures-of); its name has the digests of the files. None is ever written over.",
      "",
      "Limits with guarded acceptance need each result's uncertainty. A run without (of a bench"
          + " that",
      "was not calibrated, or from before records had it) is left open and the result named,"
          + " unless",
      "it fails all the same.",
      "",
      "Examples:",
      "  kitproof rejudge --limits revision-c.yaml --batch pilot",
      "  kitproof rejudge --limits revision-c.yaml --write",
      "  kitproof rejudge --limits revision-c.yaml --captures-of plan.yaml --bench bench.yaml"
    })
final class RejudgeCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Option(names = "--limits", required = true, paramLabel = "FILE", description = "The limits.")
  private Path file = Path.of("");

  @Option(
      names = "--batch",
      paramLabel = "NAME",
      description = "Only the runs of this batch; all records otherwise.")
  private @Nullable String batch;

  @Mixin private RecordsOption records = new RecordsOption();

  @Mixin private CapturesOption captures = new CapturesOption();

  @Option(names = "--write", description = "Keep the new judgements beside the records.")
  private boolean write;

  @Option(names = "--json", description = "Print JSON for a program to read.")
  private boolean json;

  @Override
  public Integer call() throws IOException {
    Parsed<LimitFile> limits = LimitFile.read(file);
    if (!limits.isSound()) {
      Printed.problems(spec.commandLine().getErr(), limits.problems());
      return ExitCodes.BAD_INPUT;
    }
    List<Problem> unsigned = write ? Preflight.signedOff(limits.value()) : List.of();
    if (!unsigned.isEmpty()) { // what they would change can be looked at, and is no judgement
      Printed.problems(spec.commandLine().getErr(), unsigned);
      return ExitCodes.BAD_INPUT;
    }
    if (!captures.isSound(spec.commandLine())) {
      return ExitCodes.BAD_INPUT;
    }
    List<Rejudging.Case> runs = new ArrayList<>();
    for (RunRecord run : runs().runs()) {
      runs.add(captures.remeasured(spec.commandLine(), records.folder(spec.commandLine()), run));
    }
    Rejudging rejudging = Rejudging.of(runs, limits.value());
    List<Path> written =
        write
            ? rejudging.write(records.folder(spec.commandLine()), Digest.of(file), Instant.now())
            : List.of();
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Printed.json(out, tree(rejudging, written));
    } else {
      lines(rejudging, written).forEach(out::println);
      out.flush();
    }
    return ExitCodes.GOOD;
  }

  private RunSource.Found runs() throws IOException {
    if (batch != null) {
      return records.runs(spec.commandLine(), batch);
    }
    RunSource.Found found = records.source(spec.commandLine()).runs();
    RecordsOption.tell(spec.commandLine(), found);
    return found;
  }

  private List<String> lines(Rejudging rejudging, List<Path> written) {
    List<String> lines = new ArrayList<>();
    int changed = 0;
    for (Rejudgement one : rejudging.judged()) {
      if (one.changes()) {
        changed++;
        lines.add("  " + one.run().unit() + ": " + words(one) + "   run " + one.run().run());
        one.results().stream()
            .filter(Rejudgement.Result::turns)
            .forEach(
                r ->
                    lines.add(
                        "      "
                            + r.measurement().title()
                            + ": "
                            + r.before().outcome()
                            + " -> "
                            + r.after().outcome()
                            + ", "
                            + r.after().detail()));
      }
    }
    lines.add(
        0,
        rejudging.limits().name()
            + " ("
            + file
            + "): "
            + changed
            + " of "
            + rejudging.judged().size()
            + " runs would change");
    if (!rejudging.judged().isEmpty()) {
      lines.add("calibration: " + calibration(rejudging));
    }
    rejudging.others().forEach(other -> lines.add("  not judged: " + other));
    if (write) {
      int before = rejudging.judged().size() - written.size();
      lines.add(
          "new judgements kept: "
              + written.size()
              + (before > 0 ? "; " + before + " were there already" : ""));
    }
    return lines;
  }

  /** "fail -> pass", "fail -> open, step … was not run". */
  private static String words(Rejudgement one) {
    String after = one.after() == null ? "open" : one.after().toString();
    return one.run().verdict() + " -> " + after + (one.why().isEmpty() ? "" : ", " + one.why());
  }

  private static String calibration(Rejudging rejudging) {
    return BatchPages.calibration(rejudging.judged().stream().map(Rejudgement::run).toList());
  }

  private Map<String, Object> tree(Rejudging rejudging, List<Path> written) {
    Map<String, Object> tree = new LinkedHashMap<>();
    tree.put("limits", rejudging.limits().name());
    List<Map<String, Object>> runs = new ArrayList<>();
    for (Rejudgement one : rejudging.judged()) {
      Map<String, Object> run = new LinkedHashMap<>();
      run.put("run", one.run().run());
      run.put("unit", one.run().unit());
      run.put("before", String.valueOf(one.run().verdict()));
      Verdict after = one.after();
      run.put("after", after == null ? null : after.toString());
      run.put("why", one.why());
      List<Map<String, Object>> turned = new ArrayList<>();
      one.results().stream()
          .filter(Rejudgement.Result::turns)
          .forEach(
              r ->
                  turned.add(
                      Map.of(
                          "result", r.measurement().title(),
                          "before", r.before().outcome().toString(),
                          "after", r.after().outcome().toString(),
                          "detail", r.after().detail())));
      run.put("results", turned);
      runs.add(run);
    }
    tree.put("runs", runs);
    tree.put("calibration", calibration(rejudging));
    tree.put("others", rejudging.others());
    tree.put("written", written.stream().map(Path::toString).toList());
    return tree;
  }
}
