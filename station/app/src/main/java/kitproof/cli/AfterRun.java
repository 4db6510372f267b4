package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import kitproof.calibration.CalibrationText;
import kitproof.event.Verdict;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.screen.Station.Order;
import kitproof.selfcheck.StationLock;

/** What comes of a run from a screen that was of the station itself, not of a unit. */
final class AfterRun {
  private AfterRun() {}

  /**
   * Writes the calibration that was measured, or looks at the lock that a check has left.
   *
   * @param records the folder of the station's records
   * @return what the person should know; empty after a unit
   * @throws IOException if it could not be written; the calibration before then stands
   */
  static Optional<String> ofTheStation(
      Prepared prepared, Path benchFile, Path records, Order order, UnitRun.Outcome outcome)
      throws IOException {
    if (prepared.plan().calibrates()) {
      return outcome.verdict() == Verdict.PASS
          ? Optional.of(calibrated(prepared, benchFile, order, outcome))
          : Optional.empty();
    }
    if (!StationGate.isOfTheStation(prepared, order.unit())) {
      return Optional.empty();
    }
    List<String> locked =
        StationLock.read(records, prepared.bench().station())
            .map(StationLock::reasons)
            .orElse(List.of());
    return Optional.of(
        locked.isEmpty() ? "The station has been checked and tests units." : LockNotice.of(locked));
  }

  private static String calibrated(
      Prepared prepared, Path benchFile, Order order, UnitRun.Outcome outcome) throws IOException {
    LocalDate today = LocalDate.now(ZoneOffset.UTC);
    RunRecord record = RecordDocument.read(outcome.record());
    List<String> dropped =
        CalibrationFiles.before(benchFile)
            .map(of -> CalibrationText.dropped(of, record.instruments()))
            .orElse(List.of());
    Path file =
        CalibrationFiles.write(
            prepared.bench(),
            benchFile,
            record,
            CalibrationFiles.due(prepared.plan(), prepared.bench(), today),
            order.entered());
    return "The bench is calibrated: "
        + file.getFileName()
        + " was written."
        + dropped.stream().map(line -> " Not kept: " + line + ".").collect(Collectors.joining());
  }
}
