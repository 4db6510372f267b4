package kitproof.cli;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.document.YamlReader;
import kitproof.driver.InstrumentKind;
import kitproof.gauge.Study;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.plan.PlanStep;

/**
 * Tells who measures what to connect before each trial: as the first step of its run, through the
 * same questions as any prompt of a plan, or on the terminal where the bench has no operator.
 */
final class GaugePrompt {
  private static final String CAUTION =
      "Mains off and HV discharged before you touch anything. Loads on both outputs.";

  private GaugePrompt() {}

  /** "Ann: connect unit LN12-003 to the bench, as you always do". */
  static String words(Study study, Study.Trial trial) {
    String unit = study.called(trial.unit());
    return study.by() == Study.By.RELOAD
        ? "Take unit " + unit + " off the bench if it is there and connect it anew"
        : trial.appraiser() + ": connect unit " + unit + " anew, as you always do";
  }

  /** The role that answers prompts, if the bench has one. */
  static Optional<String> operator(Bench bench) {
    return bench.roles().values().stream()
        .filter(role -> role.kind() == InstrumentKind.OPERATOR)
        .map(Bench.Role::name)
        .findFirst();
  }

  /** The plan with the prompt before everything else; the same if nothing is to be connected. */
  static Plan before(Plan plan, Bench bench, Study study, Study.Trial trial) {
    Optional<String> role = operator(bench);
    if (role.isEmpty() || !study.connectsAnew(trial)) {
      return plan;
    }
    List<PlanStep> steps = new ArrayList<>();
    steps.add(step(role.get(), words(study, trial)));
    steps.addAll(plan.steps());
    return new Plan(
        plan.name(),
        plan.product(),
        plan.revision(),
        plan.serial(),
        plan.limits(),
        steps,
        plan.shutDown(),
        plan.interlocks(),
        plan.captures(),
        plan.source());
  }

  /** As a plan file would have it. */
  private static PlanStep step(String role, String say) {
    Map<String, String> texts = Map.of("operator", role, "say", say, "caution", CAUTION);
    StringBuilder yaml =
        new StringBuilder(
            "{plan: p, product: p, revision: r, limits: l, steps: [{step: connect for the study,"
                + " procedure: prompt");
    texts.forEach((key, text) -> yaml.append(", ").append(key).append(": ").append(quoted(text)));
    yaml.append("}]}");
    return YamlReader.read("gauge study", yaml.toString())
        .flatMap(source -> PlanReader.read(source, Path.of("gauge study").toAbsolutePath()))
        .value()
        .steps()
        .get(0);
  }

  private static String quoted(String text) {
    return "'" + text.replace("'", "''") + "'";
  }

  /** Asks on the terminal and waits for Enter; false if the person wants to stop for now. */
  static boolean onTerminal(Study study, Study.Trial trial) throws IOException {
    PrintStream out = Terminal.find().out();
    out.println(words(study, trial) + ". " + CAUTION);
    out.print("Enter when it is done, or \"stop\" to go on another time: ");
    out.flush();
    String line = Terminal.typed().readLine();
    return line != null && !line.strip().equalsIgnoreCase("stop");
  }
}
