package kitproof.calibration;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.document.Located;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Writes a calibration file from the results of a calibration's run: the fold of measurements to
 * what {@link Calibration} reads. What the file before says of the same instruments is taken over.
 */
public final class CalibrationText {
  private static final String SCHEMA_LINE = "# yaml-language-server: $schema=";

  private final StringBuilder text = new StringBuilder();

  private CalibrationText() {}

  /**
   * Where a calibration comes from.
   *
   * @param bench the bench's name
   * @param date the day of the run
   * @param due the last day on which it will hold; null for a simulated bench
   * @param by who did it; may be empty
   * @param record the run
   * @param identities role to identity of the instruments that were there
   * @param certificates of instruments that are entered anew; others are taken over
   */
  public record Origin(
      String bench,
      LocalDate date,
      @Nullable LocalDate due,
      String by,
      String record,
      Map<String, String> identities,
      List<Certificate> certificates) {
    public Origin {
      certificates = List.copyOf(certificates);
    }

    /** With no certificate entered anew. */
    public Origin(
        String bench,
        LocalDate date,
        @Nullable LocalDate due,
        String by,
        String record,
        Map<String, String> identities) {
      this(bench, date, due, by, record, identities, List.of());
    }
  }

  /**
   * A certificate of an instrument.
   *
   * @param role the instrument
   * @param number the certificate's
   * @param date the day of the calibration
   * @param due the last day on which it holds
   * @param by the laboratory
   */
  public record Certificate(String role, String number, LocalDate date, LocalDate due, String by) {}

  /**
   * The text of a file.
   *
   * @param schema path of the schema, for editors
   * @param found what the run has found; results that are no part of a calibration are passed over
   * @param before the file that it replaces; its certificates, limits of error and corrections of
   *     the same instruments are taken over
   * @throws IllegalArgumentException if a result is invalid, or there is none at all
   */
  public static String of(
      String schema, Origin origin, List<Measurement> found, Optional<Calibration> before) {
    CalibrationText writing = new CalibrationText();
    writing.line(SCHEMA_LINE + schema);
    writing.line(
        "# Written by \"kitproof calibrate\"; certificates and limits of error are yours to add.");
    writing.line("bench: " + quoted(origin.bench));
    writing.line("date: " + origin.date);
    if (origin.due != null) {
      writing.line("due: " + origin.due);
    }
    if (!origin.by.isEmpty()) {
      writing.line("by: " + quoted(origin.by));
    }
    writing.line("record: " + quoted(origin.record));
    writing.room("temperature", Unit.CELSIUS, found);
    writing.room("humidity", Unit.PERCENT, found);
    writing.instruments(origin, before);
    int entries = writing.text.length();
    writing.levels("outputs", "output full scale", found);
    writing.levels("inputs", "input full scale", found);
    writing.attenuators(found);
    writing.paths(found);
    writing.residuals(found);
    writing.resistors(found);
    writing.leakages(found);
    writing.delays(found);
    if (writing.text.length() == entries) {
      throw new IllegalArgumentException("no result of a calibration in run " + origin.record);
    }
    return writing.text.toString();
  }

  private void line(String line) {
    text.append(line).append('\n');
  }

  /** A condition of the room, as the person has entered it in the run. */
  private void room(String name, Unit unit, List<Measurement> found) {
    for (Measurement each : named(found, name)) {
      if (each.figure() instanceof Figure.OfQuantity one && one.quantity().unit() == unit) {
        line(name + ": " + one.quantity());
        return;
      }
    }
  }

  private void instruments(Origin origin, Optional<Calibration> before) {
    line("instruments:");
    origin.identities.forEach(
        (role, identity) -> {
          line("  " + quoted(role) + ":");
          line("    identity: " + quoted(identity));
          Optional<CalibrationDocument.Instrument> kept =
              before.flatMap(b -> kept(b, role, identity));
          origin.certificates.stream()
              .filter(entered -> entered.role.equals(role))
              .reduce((first, second) -> second)
              .or(() -> kept.flatMap(k -> certificate(role, k)))
              .ifPresent(this::certificate);
          kept.ifPresent(this::accuracy);
        });
  }

  /** What the file before says of an instrument, if it is still that instrument. */
  private static Optional<CalibrationDocument.Instrument> kept(
      Calibration before, String role, String identity) {
    return before
        .instrument(role)
        .filter(kept -> kept.identity() == null || kept.identity().equals(identity));
  }

  /**
   * What of the file before does not go over into a new one, as the instrument is another now or no
   * longer there.
   *
   * @param identities role to identity of the instruments that are there
   * @return for people, a line an instrument
   */
  public static List<String> dropped(Calibration before, Map<String, String> identities) {
    List<String> lines = new ArrayList<>();
    before
        .document()
        .instruments()
        .forEach(
            (role, located) -> {
              CalibrationDocument.Instrument old = located.value();
              String there = identities.get(role);
              boolean same = there != null && kept(before, role, there).isPresent();
              String what = contents(old);
              if (!same && !what.isEmpty()) {
                lines.add(
                    what
                        + " of "
                        + role
                        + (old.identity() == null ? "" : ", \"" + old.identity() + "\"")
                        + (there == null
                            ? ": it was not there"
                            : ": \"" + there + "\" stands there now"));
              }
            });
    return lines;
  }

  private static String contents(CalibrationDocument.Instrument of) {
    List<String> all = new ArrayList<>();
    if (of.certificate() != null) {
      all.add("certificate " + of.certificate().number());
    }
    if (!of.accuracy().isEmpty()) {
      all.add("limits of error");
    }
    if (!of.corrections().isEmpty()) {
      all.add("corrections");
    }
    return String.join(", ", all);
  }

  private static Optional<Certificate> certificate(
      String role, CalibrationDocument.Instrument instrument) {
    return Optional.ofNullable(instrument.certificate())
        .map(c -> new Certificate(role, c.number(), c.date(), c.due().value(), c.by()));
  }

  private void certificate(Certificate certificate) {
    line(
        "    certificate: {number: "
            + quoted(certificate.number)
            + ", date: "
            + certificate.date
            + ", due: "
            + certificate.due
            + ", by: "
            + quoted(certificate.by)
            + "}");
  }

  private void accuracy(CalibrationDocument.Instrument instrument) {
    if (!instrument.accuracy().isEmpty()) {
      line("    accuracy:");
    }
    for (Located<CalibrationDocument.Accuracy> each : instrument.accuracy()) {
      CalibrationDocument.Accuracy accuracy = each.value();
      line(
          "      - {function: "
              + quoted(accuracy.function())
              + ", limits: "
              + quoted(accuracy.limits().value())
              + (accuracy.resolution() == null ? "" : ", resolution: " + accuracy.resolution())
              + (accuracy.range() == null ? "" : ", range: " + accuracy.range())
              + "}");
    }
    if (!instrument.corrections().isEmpty()) {
      line("    corrections:");
    }
    for (Located<CalibrationDocument.Correction> each : instrument.corrections()) {
      CalibrationDocument.Correction correction = each.value();
      line(
          "      - {function: "
              + quoted(correction.function())
              + ", gain: "
              + correction.gain()
              + (correction.offset() == null ? "" : ", offset: " + correction.offset())
              + (correction.u() == null ? "" : ", u: " + correction.u())
              + "}");
    }
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
      Curve phases = curve(beside(found, "path phase", level));
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
                + ", phase: "
                + Quantity.of(phases.y(i), Unit.DEGREE)
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

  private static List<Measurement> named(List<Measurement> found, String name) {
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
    Uncertainty uncertainty = of.uncertainty();
    return uncertainty == null || Double.isInfinite(uncertainty.degreesOfFreedom(0))
        ? ""
        : ", dof: " + Math.round(Math.max(1, Math.floor(uncertainty.degreesOfFreedom(0))));
  }

  private static String quoted(String text) {
    return "\"" + text.replace("\\", "\\\\").replace("\"", "\\\"") + "\"";
  }
}
