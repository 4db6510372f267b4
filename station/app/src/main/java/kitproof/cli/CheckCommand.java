package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.Callable;
import kitproof.calibration.Standing;
import kitproof.document.Parsed;
import kitproof.document.YamlReader;
import kitproof.guide.BenchGuide;
import kitproof.journal.Durable;
import kitproof.limit.LimitFile;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.plugin.Drivers;
import kitproof.run.DriveProof;
import kitproof.run.HeatEstimate;
import kitproof.run.Preflight;
import kitproof.run.References;
import kitproof.value.Node;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Checks plan, bench and limit files, each alone and together, without touching any hardware. */
@Command(
    name = "check",
    mixinStandardHelpOptions = true,
    description =
        "Checks plan, bench and limit files, each alone and all together; touches no hardware. A"
            + " plan brings its limit file with it.",
    footer = {
      "",
      "Examples:",
      "  kitproof check plan.yaml",
      "  kitproof check plan.yaml bench.yaml --json",
      "  kitproof check plan.yaml bench.yaml --guide bench.html"
    })
final class CheckCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Parameters(arity = "1..*", paramLabel = "FILE", description = "Plan, bench or limit files.")
  private List<Path> files = List.of();

  @Mixin private ReferenceUnitOption reference = new ReferenceUnitOption();

  @Option(
      names = "--records",
      paramLabel = "DIR",
      defaultValue = "records",
      description =
          "Folder of records, in which plans' reference units are looked for (default:"
              + " ${DEFAULT-VALUE}).")
  private Path records = Path.of("");

  @Mixin private PluginsOption plugins = new PluginsOption();

  @Option(names = "--json", description = "Print JSON for a program to read.")
  private boolean json;

  @Option(
      names = "--guide",
      paramLabel = "FILE",
      description =
          "If all is good, write what the bench file implies for who wires or checks the bench:"
              + " FILE.html, to print; what is there is replaced.")
  private @Nullable Path guide;

  private final Set<Problem> problems = new LinkedHashSet<>();
  private final List<Plan> plans = new ArrayList<>();
  private final List<Bench> benches = new ArrayList<>();
  private final List<Proof> proofs = new ArrayList<>();
  private final List<HeatPrinted> heat = new ArrayList<>();
  private final List<String> cautions = new ArrayList<>();

  /** What was proved of a plan on a bench. */
  private record Proof(String plan, String bench, DriveProof.Result result) {
    Map<String, Object> tree() {
      return Map.of("plan", plan, "bench", bench, "steps", result.steps(), "moves", result.moves());
    }

    @Override
    public String toString() {
      return "proved of "
          + plan
          + " on "
          + bench
          + ": if relays do as they are told, drive is never connected without a load, and mains never"
          + " gets around the limiter before a judged rise ("
          + result.steps()
          + " steps, "
          + result.moves()
          + " relay movements)";
    }
  }

  @Override
  public Integer call() throws IOException {
    if (guide != null) {
      checkName(guide);
    }
    Drivers drivers = plugins.usable();
    files.forEach(this::read);
    for (Bench bench : benches) {
      List<Problem> found = Preflight.bench(bench, drivers.byId());
      problems.addAll(found);
      if (found.isEmpty()) {
        cautions.addAll(Preflight.cautions(bench, drivers.byId()));
      }
    }
    for (Plan plan : plans) {
      together(plan, drivers);
    }
    if (guide != null && problems.isEmpty()) {
      write(guide);
    }
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Map<String, Object> answer = new LinkedHashMap<>();
      answer.put("problems", problems.stream().map(Printed::json).toList());
      answer.put(
          "proved", problems.isEmpty() ? proofs.stream().map(Proof::tree).toList() : List.of());
      answer.put(
          "heat", problems.isEmpty() ? heat.stream().map(HeatPrinted::tree).toList() : List.of());
      answer.put("cautions", problems.isEmpty() ? cautions : List.of());
      if (guide != null && problems.isEmpty()) {
        answer.put("guide", guide.toString());
      }
      Printed.json(out, answer);
    } else if (problems.isEmpty()) {
      out.println(files.size() == 1 ? files.get(0) + ": good" : files.size() + " files: good");
      proofs.forEach(out::println);
      heat.forEach(out::println);
      cautions.forEach(caution -> out.println("caution: " + caution));
      if (guide != null) {
        out.println("bench guide: " + guide);
      }
      out.flush();
    } else {
      Printed.problems(spec.commandLine().getErr(), List.copyOf(problems));
    }
    return problems.isEmpty() ? ExitCodes.GOOD : ExitCodes.BAD_INPUT;
  }

  /** A guide must never take the place of a file that is checked. */
  private void checkName(Path file) throws IOException {
    if (!file.toString().toLowerCase(Locale.ROOT).endsWith(".html")) {
      throw wrong("found \"" + file + "\"; expected a file that ends in .html");
    }
    Path folder = file.toAbsolutePath().getParent();
    if (folder == null || !Files.isDirectory(folder)) {
      throw wrong("found no folder " + folder + "; expected one for the guide");
    }
    for (Path checked : files) {
      if (Files.exists(file) && Files.exists(checked) && Files.isSameFile(file, checked)) {
        throw wrong("found \"" + file + "\", which is to be checked; expected another file");
      }
    }
  }

  private void write(Path file) throws IOException {
    if (benches.size() != 1) {
      throw wrong("found " + benches.size() + " bench files; expected one");
    }
    Map<String, String> digests = new LinkedHashMap<>();
    for (Path checked : files) {
      digests.put(checked.toString(), Digest.of(checked));
    }
    Durable.replace(file, BenchGuide.html(benches.get(0), plans, digests, cautions), false);
  }

  private ParameterException wrong(String message) {
    return new ParameterException(spec.commandLine(), "--guide: " + message);
  }

  /** A file is what its first word says: plan, bench or limits. */
  private void read(Path file) {
    Parsed<Node.Mapping> source = YamlReader.read(file);
    if (!source.isSound()) {
      problems.addAll(source.problems());
      return;
    }
    Map<String, Runnable> kinds = new LinkedHashMap<>();
    kinds.put("plan", () -> keep(PlanReader.read(file), plans));
    kinds.put(
        "bench", () -> keep(BenchReader.read(file).map(read -> standing(read, file)), benches));
    kinds.put("limits", () -> keepSigned(LimitFile.read(file)));
    // A plan names its limits, so "plan" is looked for first.
    for (Map.Entry<String, Runnable> kind : kinds.entrySet()) {
      if (source.value().get(kind.getKey()).isPresent()) {
        kind.getValue().run();
        return;
      }
    }
    problems.add(
        Problem.of(
            source.value().location(),
            source.value().describe(),
            "a file with plan:, bench: or limits: and its name"));
  }

  /** As a run would find it, with its calibration; without, if that does not hold. */
  private static Bench standing(Bench bench, Path file) {
    Parsed<Standing> standing = BenchStanding.of(bench, file, false, LocalDate.now(ZoneOffset.UTC));
    return standing.isSound() ? bench.standing(standing.value()) : bench;
  }

  private <T> void keep(Parsed<T> parsed, List<T> sound) {
    problems.addAll(parsed.problems());
    if (parsed.isSound()) {
      sound.add(parsed.value());
    }
  }

  /** Limits that a run would refuse under any plan are told here as well. */
  private void keepSigned(Parsed<LimitFile> limits) {
    problems.addAll(limits.problems());
    if (limits.isSound()) {
      problems.addAll(Preflight.signedOff(limits.value()));
    }
  }

  private void together(Plan plan, Drivers drivers) throws IOException {
    Parsed<References> references = reference.of(plan, records, "");
    problems.addAll(references.checked(found -> Preflight.references(plan, found, "")).problems());
    Parsed<LimitFile> limits = NamedLimits.of(plan);
    problems.addAll(limits.problems());
    if (!limits.isSound()) {
      return;
    }
    problems.addAll(Preflight.limits(limits.value(), plan));
    for (Bench bench : benches) {
      List<Problem> found = Preflight.check(plan, bench, limits.value(), drivers.byId());
      problems.addAll(found);
      if (found.isEmpty()) {
        proofs.add(new Proof(plan.name(), bench.name(), DriveProof.of(plan, bench)));
        heat.add(new HeatPrinted(plan.name(), bench.name(), HeatEstimate.of(plan, bench)));
      }
    }
  }
}
