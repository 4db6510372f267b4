package kitproof.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import kitproof.calibration.Standing;
import kitproof.journal.ResultDocument;
import kitproof.procedure.Difference;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** Is it as good as its sister? Every result of records beside the same one of the first. */
@Command(
    name = "compare",
    mixinStandardHelpOptions = true,
    description =
        "Compares records of runs, or what analyze kept with --curves, with the first: each result"
            + " less the first one's; of curves the worst difference and where it is. A result is"
            + " compared under the same conditions; one of an analysis, which knows none of a"
            + " plan's, if there is only one of its name (narrow it with --when).",
    footer = {
      "",
      "Examples:",
      "  kitproof compare golden.json unit.json",
      "  kitproof compare golden.json analysed.json --when mode=triode,channel=left",
      "  kitproof compare a.json b.json --result gain --result \"frequency response\" --when"
          + " mode=triode"
    })
final class CompareCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Parameters(
      arity = "2..*",
      paramLabel = "RECORD",
      description =
          "Records of runs or kept analyses (JSON); the others are compared with the first.")
  private List<Path> files = List.of();

  @Mixin private ResultOptions chosen = new ResultOptions();

  @Option(
      names = "--curves",
      paramLabel = "FILE",
      description = "Where to keep the curves of differences, for kitproof plot to draw.")
  private @Nullable Path curves;

  @Option(names = "--json", description = "Print JSON for a program to read.")
  private boolean json;

  /** One result of two records. */
  private record Pair(String unit, Measurement first, Measurement other) {}

  @Override
  public Integer call() throws IOException {
    List<ResultFile> records = new ArrayList<>();
    for (Path file : files) {
      records.add(ResultFile.read(spec, file));
    }
    chosen.check(
        records.get(0).measurements().stream()
            .map(Measurement::name)
            .collect(Collectors.toCollection(TreeSet::new)));
    List<Measurement> first = wanted(records.get(0));
    if (first.isEmpty()) {
      throw chosen.nothing("result");
    }
    List<Pair> pairs = new ArrayList<>();
    for (ResultFile other : records.subList(1, records.size())) {
      List<Measurement> others = wanted(other);
      boolean runs = records.get(0).isRun() && other.isRun();
      for (Measurement one : first) {
        counterpart(one, others, runs).ifPresent(m -> pairs.add(new Pair(other.name(), one, m)));
      }
    }
    if (pairs.isEmpty()) {
      throw wrong("found no result that the records have in common under the same conditions");
    }
    if (curves != null) {
      keep(records.get(0).name(), pairs, curves);
    }
    tell(records.get(0), pairs);
    return ExitCodes.GOOD;
  }

  private List<Measurement> wanted(ResultFile file) {
    return file.measurements().stream()
        .filter(m -> file.isRun() ? chosen.include(m) : chosen.includeAnalysed(m))
        .toList();
  }

  /**
   * The same result under the same conditions. An analysis knows nothing of a plan's conditions:
   * there the only one counts that does not contradict in those which both name.
   */
  private static Optional<Measurement> counterpart(
      Measurement one, List<Measurement> others, boolean runs) {
    List<Measurement> named = others.stream().filter(m -> m.name().equals(one.name())).toList();
    Optional<Measurement> same =
        named.stream().filter(m -> m.conditions().equals(one.conditions())).findFirst();
    if (same.isPresent() || runs) {
      return same;
    }
    List<Measurement> fitting =
        named.stream().filter(m -> ResultOptions.agree(m.conditions(), one.conditions())).toList();
    return fitting.size() == 1 ? Optional.of(fitting.get(0)) : Optional.empty();
  }

  private static Optional<Difference> difference(Pair pair) {
    try {
      return Optional.of(Difference.of(pair.other.figure(), pair.first.figure()));
    } catch (IllegalArgumentException e) {
      return Optional.empty(); // an invalid one is told as it is
    }
  }

  private void tell(ResultFile first, List<Pair> pairs) {
    PrintWriter out = spec.commandLine().getOut();
    if (json) {
      Printed.json(
          out,
          Map.of(
              "with", first.name(), "results", pairs.stream().map(CompareCommand::tree).toList()));
      return;
    }
    String unit = "";
    for (Pair pair : pairs) {
      if (!pair.unit.equals(unit)) {
        unit = pair.unit;
        out.println(unit + " less " + first.name());
        marks(pairs, unit).forEach(out::println);
      }
      out.println(line(pair));
    }
    out.flush();
  }

  /** What the figures of the two say of the benches that they were measured on. */
  private static List<String> marks(List<Pair> pairs, String unit) {
    List<Pair> of = pairs.stream().filter(pair -> pair.unit.equals(unit)).toList();
    List<String> lines = new ArrayList<>();
    of.stream()
        .map(pair -> mark(pair.first))
        .filter(mark -> !mark.isEmpty())
        .distinct()
        .forEach(mark -> lines.add("  note: the first one is " + mark));
    of.stream()
        .map(pair -> mark(pair.other))
        .filter(mark -> !mark.isEmpty())
        .distinct()
        .forEach(mark -> lines.add("  note: the other one is " + mark));
    return lines;
  }

  private static String mark(Measurement measured) {
    return Standing.markOf(measured.note());
  }

  private static String line(Pair pair) {
    return String.format(
            Locale.ROOT,
            "  %-28s %-36s %s",
            pair.first.name(),
            difference(pair).map(d -> words(d, pair)).orElse(invalid(pair)),
            pair.first.conditions())
        .stripTrailing();
  }

  private static String words(Difference difference, Pair pair) {
    String signed = (difference.worst().value() > 0 ? "+" : "") + difference.worst().display();
    if (difference.isCurve()) {
      Quantity where = Quantity.of(difference.worstAt(), difference.asCurve().xUnit());
      return signed + " at worst, at " + where.display();
    }
    return signed + " (" + plain(pair.first) + " to " + plain(pair.other) + ")";
  }

  private static String plain(Measurement m) {
    return m.figure() instanceof Figure.OfQuantity q ? q.quantity().display() : "";
  }

  private static String invalid(Pair pair) {
    for (Measurement m : List.of(pair.first, pair.other)) {
      if (m.figure() instanceof Figure.Invalid invalid) {
        return "invalid: " + invalid.reason();
      }
    }
    return "not of one kind";
  }

  private static Map<String, Object> tree(Pair pair) {
    Map<String, Object> fields = new LinkedHashMap<>();
    fields.put("unit-compared", pair.unit);
    fields.put("name", pair.first.name());
    fields.put("conditions", pair.first.conditions().values());
    fields.put("first-mark", mark(pair.first));
    fields.put("other-mark", mark(pair.other));
    Optional<Difference> difference = difference(pair);
    if (difference.isEmpty()) {
      fields.put("difference", null);
      fields.put("invalid", invalid(pair).replaceFirst("^invalid: ", ""));
      return fields;
    }
    fields.put("difference", difference.get().worst().value());
    fields.put("unit", difference.get().worst().unit().symbol());
    if (difference.get().isCurve()) {
      fields.put("worst-at", difference.get().worstAt());
      fields.put("worst-at-unit", difference.get().asCurve().xUnit().symbol());
    }
    return fields;
  }

  private void keep(String first, List<Pair> pairs, Path file) {
    List<Measurement> differences = new ArrayList<>();
    for (Pair pair : pairs) {
      Optional<Difference> difference = difference(pair);
      if (difference.isPresent() && difference.get().isCurve()) {
        differences.add(
            Measurement.of(
                pair.first.name() + " difference",
                pair.first.conditions().with("unit", pair.unit),
                difference.get().asCurve()));
      }
    }
    try {
      new ResultDocument("less " + first, differences).write(file);
    } catch (IOException e) {
      throw wrong("--curves: found \"" + file + "\", which cannot be written: " + e);
    }
  }

  private ParameterException wrong(String message) {
    return new ParameterException(spec.commandLine(), message);
  }
}
