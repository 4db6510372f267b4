package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.plan.Bench;
import kitproof.selfcheck.StationLock;

/** Says that the station's selfcheck keeps units off it. */
final class LockNotice {
  private LockNotice() {}

  /**
   * What is to be said now; empty if units may be tested.
   *
   * @param records the folder of the station's records
   * @param uncalibrated whether runs use no calibration, even if there is one
   */
  static Optional<String> now(Bench bench, Path benchFile, Path records, boolean uncalibrated) {
    Optional<Bench.Selfcheck> check = bench.selfcheck();
    if (check.isEmpty()) {
      return Optional.empty();
    }
    try {
      Path calibration = Calibration.beside(benchFile);
      List<String> reasons =
          StationLock.reasons(
              StationLock.read(records, bench.station()),
              check.get().every(),
              !uncalibrated && Files.exists(calibration) ? Digest.of(calibration) : "",
              Instant.now());
      return reasons.isEmpty() ? Optional.empty() : Optional.of(of(reasons));
    } catch (IOException e) {
      return Optional.of(of(List.of(Main.message(e))));
    }
  }

  /** "The station is locked: …". */
  static String of(List<String> reasons) {
    return "The station is locked: " + String.join("; ", reasons);
  }
}
