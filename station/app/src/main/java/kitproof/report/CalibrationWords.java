package kitproof.report;

import kitproof.event.Event;
import kitproof.journal.RunRecord;

/** What a report says of the calibration that its figures rest on. */
final class CalibrationWords {
  private CalibrationWords() {}

  /** In a sentence without full stop. */
  static String of(RunRecord record) {
    return record
        .calibration()
        .map(told -> told.calibrated() ? told.told() : upper(told))
        .orElse("none told: figures are as the instruments showed them");
  }

  /** For the foot of every sheet; empty if nothing was told. */
  static String foot(RunRecord record) {
    return record
        .calibration()
        .map(told -> told.calibrated() ? until(told.told()) : Event.CalibrationTold.UNCALIBRATED)
        .orElse("");
  }

  private static String upper(Event.CalibrationTold told) {
    return told.told().startsWith(Event.CalibrationTold.UNCALIBRATED)
        ? told.told()
        : Event.CalibrationTold.UNCALIBRATED + ": " + told.told();
  }

  /** Without the run that it comes from, for which a foot has no room. */
  private static String until(String told) {
    return told.split(", run ", 2)[0];
  }
}
