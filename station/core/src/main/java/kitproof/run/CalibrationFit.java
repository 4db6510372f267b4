package kitproof.run;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.calibration.Standing;
import kitproof.driver.InstrumentException;
import kitproof.value.Problem;

/**
 * Whether what is known of a bench is of the instruments that stand there.
 *
 * @param standing how the bench stands to its calibration
 * @param opened role to identity, as the instruments say
 */
record CalibrationFit(Standing standing, Map<String, String> opened) {
  /**
   * A calibration holds for the instruments that were calibrated, and for no others.
   *
   * @throws InstrumentException OTHER if others stand there
   */
  void require() throws InstrumentException {
    List<Problem> exchanged =
        standing.calibration().map(calibration -> calibration.exchanged(opened)).orElse(List.of());
    if (!exchanged.isEmpty()) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          Sequencer.MISFIT
              + ": "
              + String.join("; ", exchanged.stream().map(Problem::toString).toList())
              + ". Put the one that was calibrated back, calibrate anew with \"kitproof calibrate\","
              + " or run with --uncalibrated");
    }
  }

  /** What is told of corrections that could not be told before instruments were known. */
  Optional<String> corrected() {
    return standing.corrected(opened);
  }
}
