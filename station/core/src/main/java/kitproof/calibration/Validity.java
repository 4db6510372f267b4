package kitproof.calibration;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import kitproof.document.Located;
import kitproof.value.Problem;

/** Until when a calibration holds, and for which instruments. */
final class Validity {
  private final CalibrationDocument document;

  Validity(CalibrationDocument document) {
    this.document = document;
  }

  /**
   * What has expired: the calibration as a whole, or an instrument's certificate.
   *
   * @param today the day of the run
   */
  List<Problem> expired(LocalDate today) {
    List<Problem> problems = new ArrayList<>();
    Located<LocalDate> due = document.due();
    if (due != null && due.value().isBefore(today)) {
      problems.add(
          Problem.of(
              due.location(),
              "a calibration that was due on " + due.value(),
              "a new one, as it is " + today));
    }
    problems.addAll(certificates(today, Set.of(), "a new one, as it is " + today));
    return problems;
  }

  /**
   * Certificates that have expired, whether or not the calibration has.
   *
   * @param but roles whose certificates do not count
   * @param expected what to do
   */
  List<Problem> certificates(LocalDate today, Set<String> but, String expected) {
    List<Problem> problems = new ArrayList<>();
    document
        .instruments()
        .forEach(
            (role, instrument) -> {
              CalibrationDocument.Certificate certificate = instrument.value().certificate();
              if (certificate != null
                  && !but.contains(role)
                  && certificate.due().value().isBefore(today)) {
                problems.add(
                    Problem.of(
                        certificate.due().location(),
                        expired(certificate.number(), role, certificate.due().value()),
                        expected));
              }
            });
    return problems;
  }

  static String expired(String number, String role, LocalDate due) {
    return "certificate " + number + " of " + role + ", which was due on " + due;
  }

  /**
   * The day on which the first of what holds will expire.
   *
   * @return its last good day; empty if nothing expires
   */
  Optional<LocalDate> firstDue() {
    List<LocalDate> all = new ArrayList<>();
    Located<LocalDate> due = document.due();
    if (due != null) {
      all.add(due.value());
    }
    for (Located<CalibrationDocument.Instrument> each : document.instruments().values()) {
      CalibrationDocument.Certificate certificate = each.value().certificate();
      if (certificate != null) {
        all.add(certificate.due().value());
      }
    }
    return all.stream().min(Comparator.naturalOrder());
  }

  /**
   * Certificates of instruments, for people: "hv-meter: C-17 of A Laboratory, until 2027-02-28".
   */
  List<String> certificates() {
    List<String> lines = new ArrayList<>();
    document
        .instruments()
        .forEach(
            (role, instrument) -> {
              CalibrationDocument.Certificate of = instrument.value().certificate();
              if (of != null) {
                lines.add(
                    role
                        + ": "
                        + of.number()
                        + (of.by().isEmpty() ? "" : " of " + of.by())
                        + ", until "
                        + of.due().value());
              }
            });
    return lines;
  }

  /**
   * Instruments that are not those that were calibrated.
   *
   * @param opened role to identity, as the instruments say
   */
  List<Problem> exchanged(Map<String, String> opened) {
    List<Problem> problems = new ArrayList<>();
    document
        .instruments()
        .forEach(
            (role, instrument) -> {
              String calibrated = instrument.value().identity();
              String found = opened.get(role);
              if (calibrated != null && found != null && !calibrated.equals(found)) {
                problems.add(
                    Problem.of(
                        instrument.location(),
                        role + " calibrated as \"" + calibrated + "\"",
                        "\"" + found + "\", which stands there now"));
              }
            });
    return problems;
  }
}
