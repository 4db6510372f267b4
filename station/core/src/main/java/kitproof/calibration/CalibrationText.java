package kitproof.calibration;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.document.Located;
import kitproof.value.Figure;
import kitproof.value.Measurement;
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
    writing.line("bench: " + CalibrationEntries.quoted(origin.bench));
    writing.line("date: " + origin.date);
    if (origin.due != null) {
      writing.line("due: " + origin.due);
    }
    if (!origin.by.isEmpty()) {
      writing.line("by: " + CalibrationEntries.quoted(origin.by));
    }
    writing.line("record: " + CalibrationEntries.quoted(origin.record));
    writing.room("temperature", Unit.CELSIUS, found);
    writing.room("humidity", Unit.PERCENT, found);
    writing.instruments(origin, before);
    String entries = CalibrationEntries.of(found);
    if (entries.isEmpty()) {
      throw new IllegalArgumentException("no result of a calibration in run " + origin.record);
    }
    writing.text.append(entries);
    return writing.text.toString();
  }

  private void line(String line) {
    text.append(line).append('\n');
  }

  /** A condition of the room, as the person has entered it in the run. */
  private void room(String name, Unit unit, List<Measurement> found) {
    for (Measurement each : CalibrationEntries.named(found, name)) {
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
          line("  " + CalibrationEntries.quoted(role) + ":");
          line("    identity: " + CalibrationEntries.quoted(identity));
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
            + CalibrationEntries.quoted(certificate.number)
            + ", date: "
            + certificate.date
            + ", due: "
            + certificate.due
            + ", by: "
            + CalibrationEntries.quoted(certificate.by)
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
              + CalibrationEntries.quoted(accuracy.function())
              + ", limits: "
              + CalibrationEntries.quoted(accuracy.limits().value())
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
              + CalibrationEntries.quoted(correction.function())
              + ", gain: "
              + correction.gain()
              + (correction.offset() == null ? "" : ", offset: " + correction.offset())
              + (correction.u() == null ? "" : ", u: " + correction.u())
              + "}");
    }
  }
}
