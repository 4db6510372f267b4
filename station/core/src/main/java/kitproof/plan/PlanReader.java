package kitproof.plan;

import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import java.util.regex.PatternSyntaxException;
import kitproof.document.Binder;
import kitproof.document.Parsed;
import kitproof.document.Variant;
import kitproof.document.Variants;
import kitproof.document.YamlReader;
import kitproof.interlock.Interlock;
import kitproof.procedure.Procedures;
import kitproof.value.Conditions;
import kitproof.value.Node;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/** Reads plan files and writes their repetition out. */
public final class PlanReader {
  /** More steps than this are a mistake in a repeat. */
  private static final int MOST_STEPS = 10_000;

  /** The word under {@code procedure} decides which other keys a step has. */
  static final Variants VARIANTS = Variants.NONE.with(Record.class, "procedure", settingsById());

  private final List<Problem> problems = new ArrayList<>();

  private PlanReader() {}

  private static Map<String, Class<? extends Record>> settingsById() {
    Map<String, Class<? extends Record>> byId = new LinkedHashMap<>();
    Procedures.all().forEach(procedure -> byId.put(procedure.id(), procedure.settings()));
    return byId;
  }

  /** The plan, or everything that is wrong with its file. */
  public static Parsed<Plan> read(Path file) {
    return YamlReader.read(file).flatMap(source -> read(source, file.toAbsolutePath()));
  }

  /**
   * The plan, or everything that is wrong with this content.
   *
   * @param file where it stands; the limit file is looked for from there
   */
  public static Parsed<Plan> read(Node.Mapping source, Path file) {
    Parsed<PlanDocument> document = new Binder().bind(source, PlanDocument.class);
    PlanReader reader = new PlanReader();
    // The steps are read even if the head is broken, so that one look finds all there is.
    List<PlanStep> steps = reader.steps(listing(source, "steps"), Conditions.NONE);
    List<PlanStep> shutDown = reader.steps(listing(source, "shut-down"), Conditions.NONE);
    if (!document.isSound()) {
      List<Problem> all = new ArrayList<>(document.problems());
      all.addAll(reader.problems);
      return Parsed.wrong(all);
    }
    return reader.assemble(document.value(), steps, shutDown, source, file);
  }

  private Parsed<Plan> assemble(
      PlanDocument document,
      List<PlanStep> steps,
      List<PlanStep> shutDown,
      Node.Mapping source,
      Path file) {
    Optional<Pattern> serial = pattern(document.serial(), source);
    Path limits = limits(document.limits(), source, file);
    if (steps.isEmpty() && problems.isEmpty()) {
      problems.add(Problem.of(Places.of(source, "steps"), "no steps", "at least one step to do"));
    }
    List<Interlock> interlocks = new PlanInterlocks(steps, problems).of(document.interlocks());
    if (!problems.isEmpty()) {
      return Parsed.wrong(problems);
    }
    return Parsed.of(
        new Plan(
            document.plan(),
            document.product(),
            document.revision(),
            serial,
            limits,
            steps,
            shutDown,
            interlocks,
            document.captures(),
            source));
  }

  private Path limits(String limits, Node.Mapping source, Path file) {
    try {
      return file.resolveSibling(limits).normalize();
    } catch (InvalidPathException e) {
      problems.add(
          Problem.of(
              Places.of(source, "limits"),
              "\"" + limits + "\": " + e.getReason(),
              "a path from this file to the limit file"));
      return file;
    }
  }

  private Optional<Pattern> pattern(@Nullable String serial, Node.Mapping source) {
    if (serial == null) {
      return Optional.empty();
    }
    try {
      return Optional.of(Pattern.compile(serial));
    } catch (PatternSyntaxException e) {
      problems.add(
          Problem.of(
              Places.of(source, "serial"),
              "\"" + serial + "\": " + e.getDescription(),
              "a regular expression, such as 'LN12-[0-9]{3}'"));
      return Optional.empty();
    }
  }

  private static List<Node> listing(Node.Mapping source, String key) {
    return source
        .get(key)
        .filter(Node.Listing.class::isInstance)
        .map(node -> ((Node.Listing) node).items())
        .orElse(List.of());
  }

  private List<PlanStep> steps(List<Node> nodes, Conditions around) {
    List<PlanStep> steps = new ArrayList<>();
    for (Node node : nodes) {
      if (!(node instanceof Node.Mapping mapping)) {
        problems.add(Problem.of(node.location(), node.describe(), "a step or a repeat"));
      } else if (mapping.get("repeat").isPresent()) {
        steps.addAll(repeat(mapping, around));
      } else {
        step(mapping, around).ifPresent(steps::add);
      }
    }
    return steps;
  }

  private List<PlanStep> repeat(Node.Mapping mapping, Conditions around) {
    Parsed<RepeatDocument> parsed = new Binder().bind(mapping, RepeatDocument.class);
    if (!parsed.isSound()) {
      problems.addAll(parsed.problems());
      return List.of();
    }
    RepeatDocument repeat = parsed.value();
    List<Conditions> combinations = List.of(around);
    for (Map.Entry<String, List<String>> over : repeat.repeat().entrySet()) {
      if (over.getValue().isEmpty() || around.values().containsKey(over.getKey())) {
        boolean empty = over.getValue().isEmpty();
        problems.add(
            Problem.of(
                Places.of(mapping, "repeat", over.getKey()),
                empty ? "no values" : "a repeat over " + over.getKey() + " inside another",
                empty ? "at least one value to repeat over" : "a condition repeated over once"));
        return List.of();
      }
      if ((long) combinations.size() * over.getValue().size() > MOST_STEPS) {
        tooMany(mapping);
        return List.of();
      }
      List<Conditions> more = new ArrayList<>();
      for (Conditions base : combinations) {
        for (String value : over.getValue()) {
          more.add(base.with(over.getKey(), value));
        }
      }
      combinations = more;
    }
    List<PlanStep> steps = new ArrayList<>();
    int before = problems.size();
    for (Conditions conditions : combinations) {
      steps.addAll(steps(repeat.steps(), conditions));
      if (problems.size() > before) {
        break; // the other combinations would only repeat the same problems
      }
      if (steps.size() > MOST_STEPS) {
        tooMany(mapping);
        break;
      }
    }
    return steps;
  }

  private void tooMany(Node.Mapping mapping) {
    problems.add(
        Problem.of(
            Places.of(mapping, "repeat"),
            "a repeat of more than " + MOST_STEPS + " steps",
            "no more than " + MOST_STEPS + " steps in all"));
  }

  private Optional<PlanStep> step(Node.Mapping mapping, Conditions around) {
    Parsed<Variant<StepDocument, Record>> parsed =
        new Binder(VARIANTS).bindParts(mapping, StepDocument.class, Record.class);
    if (!parsed.isSound()) {
      problems.addAll(parsed.problems());
      return Optional.empty();
    }
    StepDocument common = parsed.value().common();
    Conditions own = common.conditions() == null ? Conditions.NONE : common.conditions();
    for (String name : own.values().keySet()) {
      if (around.values().containsKey(name)) {
        problems.add(
            Problem.of(
                Places.of(mapping, "conditions", name),
                "condition " + name + " inside a repeat over " + name,
                "one of the two"));
        return Optional.empty();
      }
    }
    return Optional.of(
        new PlanStep(
            mapping.location(),
            common.step(),
            Procedures.byId(common.procedure()).orElseThrow(),
            parsed.value().special(),
            around.and(own),
            common.mains(),
            common.select() == null ? List.of() : common.select(),
            common.pause(),
            common.onFail()));
  }
}
