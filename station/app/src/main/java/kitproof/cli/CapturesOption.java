package kitproof.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import kitproof.batch.MeasuredAgain;
import kitproof.batch.Rejudging;
import kitproof.document.Parsed;
import kitproof.journal.RunRecord;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;

/** Whether results are measured again on kept captures first, and with which files. */
final class CapturesOption {
  @Option(
      names = "--captures-of",
      paramLabel = "PLAN",
      description =
          "Measure again on the captures that were kept beside the records, as this plan says;"
              + " with --bench.")
  private @Nullable Path planFile;

  @Option(
      names = "--bench",
      paramLabel = "FILE",
      description = "The bench file that the captures were taken with.")
  private @Nullable Path benchFile;

  private @Nullable Plan plan;
  private @Nullable Bench bench;

  /** Reads the files, if there are any, and tells what is wrong with them. */
  boolean isSound(CommandLine command) {
    if (planFile == null && benchFile == null) {
      return true;
    }
    if (planFile == null || benchFile == null) {
      throw new ParameterException(
          command,
          "found --captures-of or --bench alone; expected --captures-of PLAN --bench FILE");
    }
    Parsed<Plan> plans = PlanReader.read(planFile);
    Parsed<Bench> benches = BenchReader.read(benchFile);
    List<Problem> problems = new ArrayList<>(plans.problems());
    problems.addAll(benches.problems());
    if (!problems.isEmpty()) {
      Printed.problems(command.getErr(), problems);
      return false;
    }
    plan = plans.value();
    bench = benches.value();
    return true;
  }

  /** The run measured again, or as it is if that was not asked for or nothing was kept of it. */
  Rejudging.Case remeasured(CommandLine command, Path records, RunRecord run) {
    if (plan == null || bench == null || planFile == null || benchFile == null) {
      return new Rejudging.Case(run, null);
    }
    PrintWriter errors = command.getErr();
    try {
      Remeasured again = Remeasured.of(run, records, plan, bench);
      if (again.pairs().isEmpty() && again.troubles().isEmpty()) {
        errors.println("run " + run.run() + ": no capture was kept; judged as recorded");
        errors.flush();
        return new Rejudging.Case(run, null);
      }
      others(run, planFile, benchFile).forEach(errors::println);
      again.troubles().forEach(trouble -> errors.println("run " + run.run() + ": " + trouble));
      errors.flush();
      return new Rejudging.Case(
          again.record(),
          new MeasuredAgain(Digest.of(planFile), Digest.of(benchFile), again.troubles()));
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IllegalStateException("interrupted", e);
    }
  }

  /** What is to be said where the files are not those that the run was made with. */
  static List<String> others(RunRecord run, Path planFile, Path benchFile) {
    List<String> notes = new ArrayList<>();
    if (!Digest.of(planFile).equals(run.digests().get("plan"))) {
      notes.add("note: " + planFile + " is not, byte for byte, the plan of run " + run.run());
    }
    if (!Digest.of(benchFile).equals(run.digests().get("bench"))) {
      notes.add(
          "note: " + benchFile + " is not, byte for byte, the bench file of run " + run.run());
    }
    return notes;
  }
}
