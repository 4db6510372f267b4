package kitproof.cli;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.document.Parsed;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.screen.Station.Instrument;

/** The instruments of a bench with what its calibration file has of their papers. */
final class InstrumentPapers {
  private InstrumentPapers() {}

  /** As the files are now; none if the bench file cannot be read, which runs are told of. */
  static List<Instrument> of(Path benchFile) {
    Parsed<Bench> bench = BenchReader.read(benchFile);
    if (!bench.isSound()) {
      return List.of();
    }
    Optional<Calibration> calibration = CalibrationFiles.before(benchFile);
    return bench.value().roles().values().stream()
        .map(
            role ->
                new Instrument(
                    role.name(),
                    List.copyOf(role.meterFunctions()),
                    calibration.map(c -> c.papers(role.name())).orElse(List.of())))
        .toList();
  }
}
