package kitproof.calibration;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.document.Located;

/**
 * The section of the instruments: who they are, what of the file before holds for them, and what is
 * entered anew.
 */
final class InstrumentLines {
  private final List<String> lines = new ArrayList<>();

  private InstrumentLines() {}

  /**
   * The lines.
   *
   * @param identities role to identity of the instruments that were there
   * @param entered of the instruments, in place of what the file before says
   * @param before the file that is replaced
   */
  static List<String> of(
      Map<String, String> identities, Entered entered, Optional<Calibration> before) {
    InstrumentLines writing = new InstrumentLines();
    writing.lines.add("instruments:");
    identities.forEach(
        (role, identity) -> {
          writing.lines.add("  " + CalibrationText.quoted(role) + ":");
          writing.lines.add("    identity: " + CalibrationText.quoted(identity));
          Optional<CalibrationDocument.Instrument> kept =
              before.flatMap(b -> kept(b, role, identity));
          entered
              .certificate(role)
              .or(() -> kept.flatMap(k -> certificate(role, k)))
              .ifPresent(writing::certificate);
          writing.accuracy(accuracies(role, entered, kept));
          kept.ifPresent(writing::corrections);
        });
    return writing.lines;
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
  static List<String> dropped(Calibration before, Map<String, String> identities) {
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

  private static Optional<Entered.Certificate> certificate(
      String role, CalibrationDocument.Instrument instrument) {
    return Optional.ofNullable(instrument.certificate())
        .map(c -> new Entered.Certificate(role, c.number(), c.date(), c.due().value(), c.by()));
  }

  private void certificate(Entered.Certificate certificate) {
    lines.add(
        "    certificate: {number: "
            + CalibrationText.quoted(certificate.number())
            + ", date: "
            + certificate.date()
            + ", due: "
            + certificate.due()
            + ", by: "
            + CalibrationText.quoted(certificate.by())
            + "}");
  }

  /** Those of the file before, each replaced by what is entered of the same function. */
  private static List<Entered.Accuracy> accuracies(
      String role, Entered entered, Optional<CalibrationDocument.Instrument> kept) {
    List<Entered.Accuracy> all = new ArrayList<>();
    kept.ifPresent(
        old ->
            old.accuracy().stream()
                .map(Located::value)
                .map(
                    a ->
                        new Entered.Accuracy(
                            role, a.function(), a.limits().value(), a.resolution(), a.range()))
                .forEach(all::add));
    for (Entered.Accuracy each : entered.accuracies()) {
      if (each.role().equals(role)) {
        all.removeIf(old -> old.function().equals(each.function()));
        all.add(each);
      }
    }
    return all;
  }

  private void accuracy(List<Entered.Accuracy> all) {
    if (!all.isEmpty()) {
      lines.add("    accuracy:");
    }
    for (Entered.Accuracy each : all) {
      lines.add(
          "      - {function: "
              + CalibrationText.quoted(each.function())
              + ", limits: "
              + CalibrationText.quoted(each.limits())
              + (each.resolution() == null ? "" : ", resolution: " + each.resolution())
              + (each.range() == null ? "" : ", range: " + each.range())
              + "}");
    }
  }

  private void corrections(CalibrationDocument.Instrument instrument) {
    if (!instrument.corrections().isEmpty()) {
      lines.add("    corrections:");
    }
    for (Located<CalibrationDocument.Correction> each : instrument.corrections()) {
      CalibrationDocument.Correction correction = each.value();
      lines.add(
          "      - {function: "
              + CalibrationText.quoted(correction.function())
              + ", gain: "
              + correction.gain()
              + (correction.offset() == null ? "" : ", offset: " + correction.offset())
              + (correction.u() == null ? "" : ", u: " + correction.u())
              + "}");
    }
  }
}
