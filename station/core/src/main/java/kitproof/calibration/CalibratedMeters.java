package kitproof.calibration;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.document.Located;
import kitproof.uncertainty.AccuracyClass;
import kitproof.value.Contribution;
import kitproof.value.Quantity;

/** What a calibration knows of meters. */
final class CalibratedMeters {
  private final CalibrationDocument document;

  CalibratedMeters(CalibrationDocument document) {
    this.document = document;
  }

  /** What is taken out of the readings of a meter's function, if anything is. */
  Optional<MeterCorrection> correction(String role, String function) {
    return instrument(role).stream()
        .flatMap(instrument -> instrument.corrections().stream())
        .map(Located::value)
        .filter(correction -> correction.function().equals(function))
        .findFirst()
        .map(CalibratedMeters::correction);
  }

  /** The standard uncertainty of what a correction leaves, if the file says it. */
  Optional<Quantity> correctionStandard(String role, String function) {
    return instrument(role).stream()
        .flatMap(instrument -> instrument.corrections().stream())
        .map(Located::value)
        .filter(correction -> correction.function().equals(function))
        .findFirst()
        .map(CalibrationDocument.Correction::u);
  }

  static MeterCorrection correction(CalibrationDocument.Correction of) {
    Quantity offset = of.offset();
    return new MeterCorrection(of.gain(), offset == null ? 0 : offset.value());
  }

  Optional<CalibrationDocument.Instrument> instrument(String role) {
    return Optional.ofNullable(document.instruments().get(role)).map(Located::value);
  }

  /**
   * The line of a budget that a meter brings by its maker's limits of error.
   *
   * @param reading as the bench has it, scale factor applied
   * @return empty if the file does not say, or says it in another unit
   */
  Optional<Contribution> meter(String role, String function, Quantity reading) {
    Located<CalibrationDocument.Instrument> instrument = document.instruments().get(role);
    if (instrument == null) {
      return Optional.empty();
    }
    return instrument.value().accuracy().stream()
        .map(Located::value)
        .filter(accuracy -> accuracy.function().equals(function))
        .filter(accuracy -> fits(accuracy, reading))
        .findFirst()
        .map(accuracy -> contribution(role, accuracy, reading));
  }

  /** Certificate and limits of error of an instrument, a line each, for people. */
  List<String> papers(String role) {
    List<String> lines = new ArrayList<>();
    instrument(role)
        .ifPresent(
            of -> {
              if (of.certificate() != null) {
                lines.add(
                    "certificate "
                        + of.certificate().number()
                        + ", until "
                        + of.certificate().due().value());
              }
              for (Located<CalibrationDocument.Accuracy> each : of.accuracy()) {
                lines.add(each.value().function() + ": " + each.value().limits().value());
              }
            });
    return lines;
  }

  /** What one count of the last digit of a meter's function is, if the file says it. */
  Optional<Quantity> resolution(String role, String function) {
    return instrument(role).stream()
        .flatMap(instrument -> instrument.accuracy().stream())
        .map(Located::value)
        .filter(accuracy -> accuracy.function().equals(function))
        .findFirst()
        .map(CalibrationDocument.Accuracy::resolution);
  }

  /** Whether the limits of error of a meter's function are told. */
  boolean knowsMeter(String role, String function) {
    return instrument(role).stream()
        .flatMap(instrument -> instrument.accuracy().stream())
        .anyMatch(accuracy -> accuracy.value().function().equals(function));
  }

  private static boolean fits(CalibrationDocument.Accuracy accuracy, Quantity reading) {
    return AccuracyClass.parse(accuracy.limits().value()).notIn(reading.unit()).isEmpty()
        && (accuracy.range() == null || accuracy.range().unit() == reading.unit())
        && (accuracy.resolution() == null || accuracy.resolution().unit() == reading.unit());
  }

  private static Contribution contribution(
      String role, CalibrationDocument.Accuracy accuracy, Quantity reading) {
    return AccuracyClass.parse(accuracy.limits().value())
        .contribution(
            "limits of error of " + role,
            reading.value(),
            accuracy.range() == null ? 0 : accuracy.range().value(),
            accuracy.resolution() == null ? 0 : accuracy.resolution().value(),
            reading.unit());
  }
}
