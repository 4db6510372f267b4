package kitproof.cli;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import kitproof.calibration.Calibration;
import kitproof.calibration.Standing;
import kitproof.document.Parsed;
import kitproof.plan.Bench;
import kitproof.plan.TimeKind;
import kitproof.run.CalibrationOnBench;
import kitproof.value.Location;
import kitproof.value.Problem;

/** Whether a run may be made on a bench as it is calibrated. */
final class BenchStanding {
  private BenchStanding() {}

  /** Without the folders of this machine: it stands in records and on pages. */
  private static String none(Path file) {
    return "there is no " + file.getFileName();
  }

  /**
   * How a bench stands, by the calibration beside its file.
   *
   * <p>A simulated bench without one is taken as exact. A real one without a calibration that holds
   * is refused, unless somebody has said that it may be uncalibrated.
   *
   * @param uncalibrated whether somebody has said so
   * @param today the day of the run
   */
  static Parsed<Standing> of(Bench bench, Path benchFile, boolean uncalibrated, LocalDate today) {
    Path file = Calibration.beside(benchFile);
    boolean there = Files.exists(file);
    if (!there && bench.time() == TimeKind.SIMULATED) {
      return Parsed.of(uncalibrated ? Standing.uncalibrated(none(file)) : Standing.exact());
    }
    if (uncalibrated) {
      return Parsed.of(Standing.uncalibrated(there ? "as was asked for" : none(file)));
    }
    if (!there) {
      return Parsed.wrong(
          List.of(
              Problem.of(
                  Location.of(file.toString()),
                  "no calibration of bench \"" + bench.name() + "\"",
                  "that file, or --uncalibrated to run without: every figure then says so")));
    }
    Parsed<Standing> standing =
        Calibration.read(file)
            .checked(
                calibration -> {
                  List<Problem> problems = new ArrayList<>(calibration.expired(today));
                  problems.addAll(CalibrationOnBench.check(calibration, bench));
                  return problems;
                })
            .map(Standing::calibrated);
    if (standing.isSound()) {
      return standing;
    }
    List<Problem> problems = new ArrayList<>(standing.problems());
    problems.add(
        Problem.of(
            Location.of(file.toString()),
            "a calibration that does not hold for these reasons",
            "a new one by \"kitproof calibrate\", or --uncalibrated to run without: every figure"
                + " then says so"));
    return Parsed.wrong(problems);
  }
}
