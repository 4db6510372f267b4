package kitproof.calibration;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;

/** The sections of a calibration file that hold what a run has found, each with its uncertainty. */
final class CalibrationEntries {
  /** More degrees of freedom are as good as infinitely many, which are left out. */
  private static final double MANY = 1e6;

  private final StringBuilder text = new StringBuilder();

  private CalibrationEntries() {}

  /**
   * The sections as text.
   *
   * @return empty if no result is part of a calibration
   */
  static String of(List<Measurement> found) {
    CalibrationEntries writing = new CalibrationEntries();
    writing.levels("outputs", "output full scale", found);
    writing.levels("inputs", "input full scale", found);
    writing.attenuators(found);
    writing.paths(found);
    writing.residuals(found);
    writing.resistors(found);
    writing.leakages(found);
    writing.delays(found);
    return writing.text.toString();
  }

  private void line(String line) {
    text.append(line).append('\n');
  }

  private void levels(String section, String result, List<Measurement> found) {
    List<String> lines = new ArrayList<>();
    for (Measurement each : named(found, result)) {
      lines.add(
          "  - {"
              + place(each)
              + ", full-scale: "
              + quantity(each)
              + ", u: "
              + standard(each, 0, Unit.VOLT)
              + dof(each)
              + "}");
    }
    section(section, lines);
  }

  private void paths(List<Measurement> found) {
    List<String> lines = new ArrayList<>();
    for (Measurement level : named(found, "path level")) {
      Curve levels = curve(level);
      Measurement phase = beside(found, "path phase", level);
      Curve phases = curve(phase);
      lines.add("  - " + place(level).replace(", ", "\n    "));
      lines.add("    points:");
      for (int i = 0; i < levels.size(); i++) {
        lines.add(
            "      - {at: "
                + Quantity.of(levels.x(i), Unit.HERTZ)
                + ", level: "
                + Quantity.of(levels.y(i), Unit.DECIBEL)
                + ", u: "
                + standard(level, i, Unit.DECIBEL)
                + dof(", dof: ", level, i)
                + ", phase: "
                + Quantity.of(phases.y(i), Unit.DEGREE)
                + ", phase-u: "
                + standard(phase, i, Unit.DEGREE)
                + dof(", phase-dof: ", phase, i)
                + "}");
      }
    }
    section("paths", lines);
  }

  private void attenuators(List<Measurement> found) {
    List<String> lines = new ArrayList<>();
    for (Measurement each : named(found, "input attenuation")) {
      lines.add(
          "  - {"
              + place(each)
              + ", ratio: "
              + quantity(each).value()
              + ", u: "
              + standard(each, 0, Unit.ONE).value()
              + dof(each)
              + "}");
    }
    section("attenuators", lines);
  }

  private void residuals(List<Measurement> found) {
    List<String> lines = new ArrayList<>();
    for (Measurement each : named(found, "residual thd+n")) {
      String at = each.conditions().values().getOrDefault("frequency", "");
      lines.add(
          "  - {"
              + place(each)
              + ", at: "
              + Quantity.parse(at, Unit.HERTZ)
              + ", level: "
              + quantity(beside(found, "residual level", each))
              + ", thd: "
              + quantity(beside(found, "residual distortion", each))
              + ", noise: "
              + quantity(beside(found, "residual noise", each))
              + ", thd-plus-noise: "
              + quantity(each)
              + ", u: "
              + standard(each, 0, Unit.DECIBEL)
              + "}");
    }
    section("residuals", lines);
  }

  /** The result of this name under the same conditions. */
  private static Measurement beside(List<Measurement> found, String name, Measurement one) {
    return named(found, name).stream()
        .filter(other -> other.conditions().equals(one.conditions()))
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("no " + name + " beside " + one.title()));
  }

  private void resistors(List<Measurement> found) {
    List<String> lines = new ArrayList<>();
    for (Measurement each : named(found, "resistance as connected")) {
      lines.add(
          "  - {route: "
              + quoted(each.conditions().values().getOrDefault("route", ""))
              + ", resistance: "
              + quantity(each)
              + ", u: "
              + standard(each, 0, Unit.OHM)
              + dof(each)
              + "}");
    }
    section("resistors", lines);
  }

  private void leakages(List<Measurement> found) {
    List<String> lines = new ArrayList<>();
    for (Measurement each : named(found, "leakage")) {
      Map<String, String> conditions = each.conditions().values();
      lines.add(
          "  - {from: "
              + quoted(conditions.getOrDefault("channel", ""))
              + ", to: "
              + quoted(conditions.getOrDefault("to", ""))
              + ", at: "
              + Quantity.parse(conditions.getOrDefault("frequency", ""), Unit.HERTZ)
              + ", level: "
              + quantity(each)
              + (each.uncertainty() == null ? "" : ", u: " + standard(each, 0, Unit.DECIBEL))
              + "}");
    }
    section("leakages", lines);
  }

  private void delays(List<Measurement> found) {
    List<String> lines = new ArrayList<>();
    for (Measurement each : named(found, "path delay")) {
      lines.add(
          "  - {"
              + place(each)
              + ", delay: "
              + quantity(each)
              + ", u: "
              + standard(each, 0, Unit.SECOND)
              + dof(each)
              + "}");
    }
    section("delays", lines);
  }

  private void section(String name, List<String> lines) {
    if (!lines.isEmpty()) {
      line(name + ":");
      lines.forEach(this::line);
    }
  }

  static List<Measurement> named(List<Measurement> found, String name) {
    return found.stream().filter(each -> each.name().equals(name)).toList();
  }

  private static String place(Measurement of) {
    Map<String, String> conditions = of.conditions().values();
    String range = conditions.get("range");
    return "channel: "
        + quoted(conditions.getOrDefault("channel", ""))
        + (range == null ? "" : ", range: " + quoted(range));
  }

  private static Quantity quantity(Measurement of) {
    if (of.figure() instanceof Figure.OfQuantity one) {
      return one.quantity();
    }
    throw new IllegalArgumentException(of.title() + " could not be measured");
  }

  private static Curve curve(Measurement of) {
    if (of.figure() instanceof Figure.OfCurve curve) {
      return curve.curve();
    }
    throw new IllegalArgumentException(of.title() + " could not be measured");
  }

  private static Quantity standard(Measurement of, int index, Unit unit) {
    Uncertainty uncertainty = of.uncertainty();
    if (uncertainty == null) {
      throw new IllegalArgumentException(of.title() + " without its uncertainty");
    }
    return Quantity.of(Math.max(uncertainty.below(index), uncertainty.above(index)), unit);
  }

  private static String dof(Measurement of) {
    return dof(", dof: ", of, 0);
  }

  private static String dof(String key, Measurement of, int index) {
    Uncertainty uncertainty = of.uncertainty();
    return uncertainty == null || uncertainty.degreesOfFreedom(index) > MANY
        ? ""
        : key + Math.round(Math.max(1, Math.floor(uncertainty.degreesOfFreedom(index))));
  }

  static String quoted(String text) {
    return "\"" + text.replace("\\", "\\\\").replace("\"", "\\\"") + "\"";
  }
}
