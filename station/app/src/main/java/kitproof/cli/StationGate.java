package kitproof.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.calibration.Standing;
import kitproof.document.Parsed;
import kitproof.journal.RunRecord;
import kitproof.plan.Bench;
import kitproof.procedure.StationCheck;
import kitproof.selfcheck.Selfcheck;
import kitproof.selfcheck.StationLock;
import kitproof.value.Location;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine;
import picocli.CommandLine.ParameterException;

/** Whether a station may test units: whether its last check was good and is not too old. */
final class StationGate {
  private static final String CALIBRATION = "calibration";

  /** How a lock is opened on the command line, where a message says what is expected. */
  static final String BY_OPTION = "--override-lock \"NAME: REASON\"";

  private StationGate() {}

  /**
   * Who opens the lock for a run, and why.
   *
   * @param name the person
   * @param reason in words
   */
  record Override(String name, String reason) {
    /** "NAME: REASON"; null if the option is not given. */
    static @Nullable Override of(CommandLine command, @Nullable String text) {
      if (text == null) {
        return null;
      }
      int colon = text.indexOf(':');
      String name = colon < 0 ? "" : text.substring(0, colon).strip();
      String reason = colon < 0 ? "" : text.substring(colon + 1).strip();
      if (name.isEmpty() || reason.isEmpty()) {
        throw new ParameterException(
            command,
            "--override-lock: found \""
                + text
                + "\"; expected who and why, such as \"A. Person: the check standard is away\"");
      }
      return new Override(name, reason);
    }
  }

  /**
   * Whether a run of this unit is of the station itself, and so may be made on a locked one: it
   * calibrates, or is of the check standard, and no step of its plan measures anything else.
   */
  static boolean isOfTheStation(Prepared prepared, String unit) {
    boolean standard =
        prepared
            .bench()
            .selfcheck()
            .filter(check -> check.checkStandard().equals(unit))
            .isPresent();
    return (prepared.plan().calibrates() || standard) && prepared.plan().isOfTheStation();
  }

  /**
   * The same, or why the station tests no units; with a lock that somebody has opened the run says
   * so, and every figure of it.
   *
   * @param benchFile for the place in messages
   */
  static Parsed<Prepared> pass(
      Prepared prepared, Path benchFile, Path records, @Nullable Override override, Instant now) {
    Bench bench = prepared.bench();
    Optional<Bench.Selfcheck> check = bench.selfcheck();
    if (check.isEmpty()) {
      return Parsed.of(prepared);
    }
    List<String> reasons;
    try {
      reasons =
          StationLock.reasons(
              StationLock.read(records, bench.station()),
              check.get().every(),
              prepared.digests().getOrDefault(CALIBRATION, ""),
              now);
    } catch (IOException e) { // what cannot be read opens nothing
      reasons = List.of(String.valueOf(e.getMessage()));
    }
    if (reasons.isEmpty()) {
      return Parsed.of(prepared);
    }
    if (override == null) {
      return Parsed.wrong(
          List.of(
              Problem.of(
                  Location.of(benchFile.toString()),
                  "station \"" + bench.station() + "\" locked: " + String.join("; ", reasons),
                  "a good \"kitproof selfcheck\" with check standard "
                      + check.get().checkStandard()
                      + " (after repair or a new calibration where it is out of limits), or "
                      + BY_OPTION)));
    }
    Standing opened =
        bench
            .standing()
            .saying(
                "STATION LOCK OVERRIDDEN by "
                    + override.name
                    + ": "
                    + override.reason
                    + " (locked: "
                    + String.join("; ", reasons)
                    + ")",
                Standing.OVERRIDDEN + override.name);
    return Parsed.of(prepared.on(bench.standing(opened)));
  }

  /** What a run's record says of an opened lock; empty if it was not opened. */
  static Optional<String> told(RunRecord record) {
    return record.notices().stream()
        .filter(notice -> notice.startsWith("STATION LOCK OVERRIDDEN"))
        .findFirst();
  }

  /**
   * After a run: a check of the station locks or unlocks it, and a unit's run locks it that has
   * found the station out of its limits on the way.
   *
   * @return what was found of the station, if the run was a check of it
   */
  static Optional<Selfcheck> after(Bench bench, RunRecord record, Path records) throws IOException {
    Optional<Bench.Selfcheck> check = bench.selfcheck();
    if (check.isEmpty()) {
      return Optional.empty();
    }
    boolean ofStandard = check.get().checkStandard().equals(record.unit());
    Optional<Selfcheck> found =
        ofStandard ? Optional.of(Selfcheck.of(record, records)) : Optional.empty();
    List<String> reasons =
        new ArrayList<>(found.map(Selfcheck::reasons).orElseGet(() -> Selfcheck.errors(record)));
    if (reasons.isEmpty() && record.reason().contains(StationCheck.OUT)) {
      reasons.add(record.reason()); // a step that stops its run leaves no results
    }
    if (ofStandard && Selfcheck.compared(record) == 0 && reasons.isEmpty()) {
      reasons.add("its last check compared nothing with the calibration");
    }
    if (ofStandard || !reasons.isEmpty()) {
      new StationLock(
              bench.station(),
              record.run(),
              record.started(),
              record.digests().getOrDefault(CALIBRATION, ""),
              reasons)
          .write(records);
    }
    return found;
  }
}
