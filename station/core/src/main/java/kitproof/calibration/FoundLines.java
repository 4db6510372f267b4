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

/** What a calibration's run has found, as the lines of its file. */
final class FoundLines {
  /** More degrees of freedom are as good as infinitely many, which are left out. */
  private static final double MANY = 1e6;

  private final List<Measurement> found;
  private final List<String> all = new ArrayList<>();

  private FoundLines(List<Measurement> found) {
    this.found = found;
  }

  /**
   * The sections of a file; of none if nothing was found that belongs into one.
   *
   * @throws IllegalArgumentException if a result is invalid or without its uncertainty
   */
  static List<String> of(List<Measurement> found) {
    FoundLines lines = new FoundLines(found);
    lines.levels("outputs", "output full scale");
    lines.levels("inputs", "input full scale");
    lines.attenuators();
    lines.paths();
    lines.residuals();
    lines.resistors();
    lines.leakages();
    lines.delays();
    return List.copyOf(lines.all);
  }

  /** The conditions of the room, as a person has entered or a meter read them in the run. */
  static List<String> room(List<Measurement> found) {
    List<String> lines = new ArrayList<>();
    room(lines, "room-temperature", Room.TEMPERATURE, Unit.CELSIUS, found);
    room(lines, "room-humidity", Room.HUMIDITY, Unit.PERCENT, found);
    return lines;
  }

  private static void room(
      List<String> lines, String key, String name, Unit unit, List<Measurement> found) {
    for (Measurement each : named(found, name)) {
      if (each.figure() instanceof Figure.OfQuantity one && one.quantity().unit() == unit) {
        lines.add(key + ": " + one.quantity());
        return;
      }
    }
  }

  private void levels(String section, String result) {
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

  private void paths() {
    List<String> lines = new ArrayList<>();
    for (Measurement level : named(found, "path level")) {
      Curve levels = curve(level);
      Measurement phase = beside("path phase", level);
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

  private void attenuators() {
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

  private void residuals() {
    List<String> lines = new ArrayList<>();
    for (Measurement each : named(found, "residual thd+n")) {
      String at = each.conditions().values().getOrDefault("frequency", "");
      Measurement thd = beside("residual distortion", each);
      Measurement noise = beside("residual noise", each);
      lines.add(
          "  - {"
              + place(each)
              + ", at: "
              + Quantity.parse(at, Unit.HERTZ)
              + ", level: "
              + quantity(beside("residual level", each))
              + ", thd: "
              + quantity(thd)
              + ", thd-u: "
              + standard(thd, 0, Unit.DECIBEL)
              + dof(", thd-dof: ", thd, 0)
              + ", noise: "
              + quantity(noise)
              + ", noise-u: "
              + standard(noise, 0, Unit.DECIBEL)
              + dof(", noise-dof: ", noise, 0)
              + ", thd-plus-noise: "
              + quantity(each)
              + ", u: "
              + standard(each, 0, Unit.DECIBEL)
              + dof(each)
              + "}");
    }
    section("residuals", lines);
  }

  /** The result of this name under the same conditions. */
  private Measurement beside(String name, Measurement one) {
    return named(found, name).stream()
        .filter(other -> other.conditions().equals(one.conditions()))
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("no " + name + " beside " + one.title()));
  }

  private void resistors() {
    List<String> lines = new ArrayList<>();
    for (Measurement each : named(found, "resistance as connected")) {
      lines.add(
          "  - {route: "
              + CalibrationText.quoted(each.conditions().values().getOrDefault("route", ""))
              + ", resistance: "
              + quantity(each)
              + ", u: "
              + standard(each, 0, Unit.OHM)
              + dof(each)
              + "}");
    }
    section("resistors", lines);
  }

  private void leakages() {
    List<String> lines = new ArrayList<>();
    for (Measurement each : named(found, "leakage")) {
      Map<String, String> conditions = each.conditions().values();
      lines.add(
          "  - {from: "
              + CalibrationText.quoted(conditions.getOrDefault("channel", ""))
              + ", to: "
              + CalibrationText.quoted(conditions.getOrDefault("to", ""))
              + ", at: "
              + Quantity.parse(conditions.getOrDefault("frequency", ""), Unit.HERTZ)
              + ", level: "
              + quantity(each)
              + (each.uncertainty() == null ? "" : ", u: " + standard(each, 0, Unit.DECIBEL))
              + dof(each)
              + "}");
    }
    section("leakages", lines);
  }

  private void delays() {
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
      all.add(name + ":");
      all.addAll(lines);
    }
  }

  private static List<Measurement> named(List<Measurement> found, String name) {
    return found.stream().filter(each -> each.name().equals(name)).toList();
  }

  private static String place(Measurement of) {
    Map<String, String> conditions = of.conditions().values();
    String range = conditions.get("range");
    return "channel: "
        + CalibrationText.quoted(conditions.getOrDefault("channel", ""))
        + (range == null ? "" : ", range: " + CalibrationText.quoted(range));
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
}
