package kitproof.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.calibration.CalibrationText;
import kitproof.calibration.Entered;
import kitproof.document.Parsed;
import kitproof.journal.Durable;
import kitproof.journal.RunRecord;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.plan.TimeKind;
import kitproof.run.CalibrationOnBench;
import kitproof.value.Location;
import kitproof.value.Measurement;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/** Writes the calibration beside a bench file from the record of its run. */
final class CalibrationFiles {
  private CalibrationFiles() {}

  /**
   * The last day on which a calibration of today will hold.
   *
   * @return null on a simulated bench, and on a real one whose plan does not say
   */
  static @Nullable LocalDate due(Plan plan, Bench bench, LocalDate today) {
    return bench.time() == TimeKind.SIMULATED || plan.holdsDays() == 0
        ? null
        : today.plusDays(plan.holdsDays());
  }

  /** The calibration that is there now, if it can be read. */
  static Optional<Calibration> before(Path benchFile) {
    Path file = Calibration.beside(benchFile);
    if (!Files.exists(file)) {
      return Optional.empty();
    }
    Parsed<Calibration> read = Calibration.read(file);
    return read.isSound() ? Optional.of(read.value()) : Optional.empty();
  }

  /**
   * What is wrong with the file that is there now: what it holds of the instruments must not be
   * lost because it cannot be read.
   *
   * @return empty if it can be read, or if there is none
   */
  private static List<Problem> unreadable(Path benchFile) {
    Path file = Calibration.beside(benchFile);
    if (!Files.exists(file)) {
      return List.of();
    }
    List<Problem> problems = new ArrayList<>(Calibration.read(file).problems());
    if (!problems.isEmpty()) {
      problems.add(
          Problem.of(
              Location.of(file.toString()),
              "a calibration that cannot be read, with certificates of instruments in it",
              "it mended, or moved away: nothing of it is then kept"));
    }
    return problems;
  }

  /**
   * Everything of instruments' papers that is in a calibration's way: what the file before holds
   * must not be lost because it cannot be read, what is taken over from it must hold, and what is
   * entered must be of this bench.
   *
   * @param at where it was entered
   * @return empty if nothing is
   */
  static List<Problem> ofPapers(Path benchFile, Bench bench, Entered entered, Location at) {
    List<Problem> problems = new ArrayList<>(CalibrationOnBench.entered(entered, bench, at));
    problems.addAll(unreadable(benchFile));
    problems.addAll(
        Calibration.expiredCertificates(
            before(benchFile),
            entered,
            LocalDate.now(ZoneOffset.UTC),
            Location.of(benchFile.toString())));
    return problems;
  }

  /**
   * Replaces the calibration, what it says of the same instruments kept.
   *
   * @param last the last day on which it will hold; null for a simulated bench
   * @param entered who did it, and of the instruments besides what the file before says of them
   * @return the file
   * @throws IOException if it could not be written or would not fit the bench; the one before then
   *     stands
   */
  static Path write(
      Bench bench, Path benchFile, RunRecord record, @Nullable LocalDate last, Entered entered)
      throws IOException {
    Path file = Calibration.beside(benchFile);
    Optional<Calibration> before = before(benchFile);
    List<Measurement> found =
        record.steps().stream()
            .flatMap(step -> step.results().stream())
            .map(RunRecord.Result::measurement)
            .toList();
    CalibrationText.Origin origin =
        new CalibrationText.Origin(
            bench.name(),
            record.started().atOffset(ZoneOffset.UTC).toLocalDate(),
            last,
            entered.by(),
            record.run(),
            record.instruments(),
            entered);
    String text;
    try {
      text = CalibrationText.of(schema(file), origin, found, before);
    } catch (IllegalArgumentException e) {
      throw new IOException("no calibration was written: " + e.getMessage(), e);
    }
    Parsed<Calibration> again =
        Calibration.read(file.toString(), text)
            .checked(calibration -> CalibrationOnBench.check(calibration, bench));
    if (!again.isSound()) { // never a file that the next run would refuse
      throw new IOException("the calibration does not fit the bench:\n" + again);
    }
    Durable.replace(file, text, true);
    return file;
  }

  private static String schema(Path file) {
    Path folder = file.toAbsolutePath().getParent();
    Path schema =
        Home.find().example("").resolve("../../schemas/calibration.schema.json").normalize();
    return folder == null
        ? schema.toString()
        : folder.relativize(schema.toAbsolutePath()).toString();
  }
}
