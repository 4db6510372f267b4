package kitproof.batch;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import kitproof.document.Parsed;
import kitproof.journal.RunRecord;
import kitproof.limit.Limit;
import kitproof.limit.LimitFile;
import kitproof.value.AgainstUnit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import org.jspecify.annotations.Nullable;

/**
 * A limit file from the good units of a batch, by normal tolerance limits.
 *
 * <p>Each result gets the sides its limit had. Results that were not judged are left out, but where
 * nothing was judged at all, as in a first pilot, every result gets both sides. The file is text
 * with its evidence in comments, sound for the reader of limit files, and for a person to sign
 * before use: until then a run refuses it.
 */
public final class LimitProposal {
  /** Fewer good units give limits so wide that they tell nothing. */
  public static final int LEAST = 3;

  private final Batch good;
  private final Margin margin;
  private final List<String> lines = new ArrayList<>();

  private LimitProposal(Batch good, Margin margin) {
    this.good = good;
    this.margin = margin;
  }

  /**
   * The text of the file.
   *
   * @param batch of which the good units count
   * @param coverage the part of all units to come that each limit shall hold, such as 0.99
   * @param confidence that it does, such as 0.95
   * @throws IllegalArgumentException if there are fewer than {@value #LEAST} good units, they are
   *     of several products or revisions, or no result spreads; the message is for people
   */
  public static String text(Batch batch, double coverage, double confidence) {
    Batch good = batch.goodUnits();
    if (good.units().size() < LEAST) {
      throw new IllegalArgumentException(
          good.units().size() + " good units; expected " + LEAST + " or more");
    }
    if (good.units().stream().map(LimitProposal::product).distinct().count() > 1) {
      throw new IllegalArgumentException(
          "several products or revisions in the batch; expected one of each");
    }
    return new LimitProposal(good, new Margin(coverage, confidence)).write();
  }

  private static List<String> product(UnitHistory unit) {
    RunRecord last = last(unit);
    return List.of(last.product(), last.revision());
  }

  private static RunRecord last(UnitHistory unit) {
    return unit.last().orElseThrow();
  }

  private String write() {
    head();
    int before = lines.size();
    List<Series> scalars = Series.of(good);
    Map<Key, List<Masked>> curves = curves();
    boolean anyLimit =
        scalars.stream().anyMatch(series -> series.limit() != null)
            || curves.values().stream().flatMap(List::stream).anyMatch(one -> one.mask != null);
    // A first pilot has no limits at all; later what was never judged is mostly for information.
    scalars.stream().filter(s -> !anyLimit || s.limit() != null).forEach(this::scalar);
    curves.forEach(
        (key, own) -> {
          if (!anyLimit || own.stream().anyMatch(one -> one.mask != null)) {
            curve(key, own);
          }
        });
    if (lines.subList(before, lines.size()).stream().allMatch(l -> l.strip().startsWith("#"))) {
      throw new IllegalArgumentException("no result that spreads among the good units");
    }
    String text = String.join("\n", lines) + "\n";
    Parsed<LimitFile> read = LimitFile.read("proposal", text);
    if (!read.isSound()) {
      throw new IllegalArgumentException(
          "results that limits cannot tell apart: " + read.problems().get(0));
    }
    return text;
  }

  private void head() {
    RunRecord first = last(good.units().get(0));
    lines.add("# Proposed limits. To be read and signed off by a person before use.");
    lines.add("# Until a name stands under signed-off-by no unit is run by them.");
    lines.add("#");
    lines.add(
        "# From the "
            + good.units().size()
            + " units of batch "
            + good.name()
            + " whose last attempt passed:");
    for (UnitHistory unit : good.units()) {
      lines.add("#   " + unit.serial() + "   " + last(unit).run());
    }
    lines.add("#");
    lines.add(
        "# Normal tolerance limits (ISO 16269-6): each limit by itself holds "
            + margin.percent(margin.coverage())
            + " of all units to come");
    lines.add(
        "# with "
            + margin.percent(margin.confidence())
            + " confidence, if the units are normal, independent and made as these were.");
    lines.add(
        "# Units that failed are not among them: the limits say what these good ones were like,"
            + " not what is good enough.");
    lines.add("limits: " + Yaml.text("Proposal from batch " + good.name()));
    lines.add("product: " + Yaml.text(first.product()));
    lines.add("revision: " + Yaml.text(first.revision()));
    lines.add("rule: simple acceptance");
    lines.add("signed-off-by: " + LimitFile.NOBODY);
    lines.add("judge:");
  }

  private void scalar(Series series) {
    SeriesReport report = SeriesReport.of(series);
    String title = series.title();
    if (AgainstUnit.isApart(series.conditions())) {
      compared(title); // the limit would hold whichever unit is chosen
      return;
    }
    if (report.summary() == null || report.series().points().size() < LEAST) {
      lines.add("  # " + title + ": fewer than " + LEAST + " values, no proposal");
      return;
    }
    if (report.summary().standardDeviation() == 0) {
      lines.add("  # " + title + ": no spread, no proposal");
      return;
    }
    Margin.Sides sides = margin.sides(series);
    Margin.Ends ends = margin.ends(report.summary(), sides, series.unit());
    lines.add(
        "  # "
            + String.format(
                Locale.ROOT,
                "%d units, %s to %s, mean %s, s %s, k %.3f",
                report.summary().count(),
                series.show(report.summary().lowest()),
                series.show(report.summary().highest()),
                series.show(report.summary().mean()),
                series.show(report.summary().standardDeviation()),
                ends.factor()));
    List<String> warnings = new ArrayList<>(report.warnings());
    report.outliers().forEach(p -> warnings.add(p.serial() + " is unlike its sisters"));
    if (!warnings.isEmpty()) {
      lines.add("  # beware: " + String.join(", ", warnings));
    }
    lines.add(
        "  - {result: "
            + Yaml.text(series.name())
            + Yaml.when(series.conditions())
            + ends.words()
            + "}");
  }

  private void compared(String title) {
    lines.add("  # " + title + ": the units were compared with several others, no proposal");
  }

  private record Key(String name, Conditions conditions) {}

  /**
   * One curve with the mask it was judged by.
   *
   * @param chosen the reference unit that it is a difference from, or empty
   */
  private record Masked(Curve curve, Limit.@Nullable Mask mask, String chosen) {}

  private Map<Key, List<Masked>> curves() {
    Map<Key, List<Masked>> found = new LinkedHashMap<>();
    for (UnitHistory unit : good.units()) {
      Map<Key, Masked> own = new LinkedHashMap<>();
      for (RunRecord.Step step : last(unit).steps()) {
        for (RunRecord.Result result : step.results()) {
          if (result.measurement().figure() instanceof Figure.OfCurve one) {
            own.put(
                new Key(result.measurement().name(), result.measurement().conditions()),
                new Masked(
                    one.curve(),
                    result.judgement().limit() instanceof Limit.Mask mask ? mask : null,
                    AgainstUnit.chosen(result.measurement())));
          }
        }
      }
      own.forEach((key, one) -> found.computeIfAbsent(key, k -> new ArrayList<>()).add(one));
    }
    return found;
  }

  private void curve(Key key, List<Masked> own) {
    String title = key.conditions.isEmpty() ? key.name : key.name + " (" + key.conditions + ")";
    if (own.stream().map(Masked::chosen).distinct().count() > 1) {
      compared(title);
      return;
    }
    List<Curve> curves = own.stream().map(Masked::curve).toList();
    double[] places = OnGrid.shared(curves);
    boolean oneKind =
        curves.stream().map(c -> List.of(c.xUnit(), c.yUnit())).distinct().count() == 1;
    if (curves.size() < LEAST
        || places.length < 2
        || !oneKind
        || !MaskProposal.fits(curves.get(0))) {
      lines.add("  # " + title + ": too few curves that share places, no proposal");
      return;
    }
    Margin.Sides sides = margin.sides(own.get(own.size() - 1).mask);
    MaskProposal mask = MaskProposal.of(curves, places, margin, sides);
    lines.add(
        "  # "
            + String.format(
                Locale.ROOT,
                "%s: %d units, %d places, k %.3f at each place by itself; corners stand outside",
                title,
                curves.size(),
                places.length,
                mask.factor()));
    lines.add("  - result: " + Yaml.text(key.name));
    if (!key.conditions.isEmpty()) {
      lines.add("    " + Yaml.when(key.conditions).substring(2));
    }
    lines.add("    mask:");
    mask.corners().forEach(corner -> lines.add("      - {" + corner + "}"));
  }

  /** Words of a limit file. */
  private static final class Yaml {
    private Yaml() {}

    static String text(String words) {
      return words.matches("[A-Za-z][A-Za-z0-9+/. -]*[A-Za-z0-9]")
          ? words
          : "\"" + words.replace("\\", "\\\\").replace("\"", "\\\"") + "\"";
    }

    static String when(Conditions conditions) {
      return conditions.isEmpty()
          ? ""
          : conditions.values().entrySet().stream()
              .map(e -> text(e.getKey()) + ": " + text(e.getValue()))
              .collect(Collectors.joining(", ", ", when: {", "}"));
    }
  }
}
