package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import kitproof.calibration.Calibration;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.value.Contribution;
import kitproof.value.Measurement;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Meters that are far off, and whose certificates say by how much: a bench that is calibrated by
 * them is found as it is.
 */
class CorrectedCalibrationTest {
  private static final String IDENTITY = "Kitproof simulated meter uneven";

  private static final String NOBODY = "note: the file does not say who calibrated";

  @TempDir private Path folder;

  private Path bench() {
    return folder.resolve("bench.yaml");
  }

  private Path file() {
    return folder.resolve("bench.calibration.yaml");
  }

  /** The shipped bench with meters that read 0.9 % and 0.7 % high, and a short plan. */
  private void prepare() throws IOException {
    String bench = Files.readString(Cli.example("bench-uneven.yaml"));
    Files.writeString(
        bench(),
        bench
            .replaceFirst("(?m)^selfcheck: .*$", "")
            .replace("error: 0.03 %", "error: 0.9 %")
            .replace("error: -0.02 %", "error: 0.7 %"));
    String plan = Files.readString(Cli.example("calibration.yaml"));
    Files.writeString(
        folder.resolve("plan.yaml"),
        plan.substring(0, plan.indexOf("  - step: room temperature"))
            + plan.substring(
                    plan.indexOf("  - step: check standard"),
                    plan.indexOf("  - step: levels right"))
                .replace("range 5 V]", "range 5 V]\n    repeats: 3"));
    Files.writeString(
        folder.resolve("calibration-limits.yaml"),
        "limits: l\nproduct: bench\nrevision: A\nrule: simple acceptance\njudge: []\n");
  }

  /** The file before, with what the certificates say. */
  private void corrections(String lineMeter, String ohmmeter) throws IOException {
    Files.writeString(
        file(),
        """
        bench: simulated bench with errors
        date: 2026-01-01
        instruments:
          line-meter:
            identity: %s
            corrections: [{function: left output, gain: %s, u: 0.2 mV}]
          ohmmeter:
            identity: %s
            corrections: [{function: check resistor, gain: %s, u: 4 mohm}]
        """
            .formatted(lineMeter, 1 / 1.009, ohmmeter, 1 / 1.007));
  }

  private Cli calibrate(String by) {
    return Cli.run(
        "calibrate",
        folder.resolve("plan.yaml"),
        "--bench",
        bench(),
        "--records",
        folder.resolve("records"),
        "--by",
        by);
  }

  private static RunRecord record(Cli done) throws IOException {
    return RecordDocument.read(Path.of(done.lastLine().replaceFirst(".*record: ", "")));
  }

  /** What the record tells of corrections. */
  private static List<String> corrected(RunRecord record) {
    return record.notices().stream().filter(told -> told.startsWith("corrected: ")).toList();
  }

  private static Measurement named(RunRecord record, String name) {
    return record.steps().stream()
        .flatMap(step -> step.results().stream())
        .map(RunRecord.Result::measurement)
        .filter(measurement -> measurement.name().equals(name))
        .findFirst()
        .orElseThrow();
  }

  private static double line(Measurement of, String name) {
    assertThat(of.uncertainty()).isNotNull();
    List<Contribution> lines =
        of.uncertainty().budget().stream().filter(line -> line.name().equals(name)).toList();
    assertThat(lines).as(name + " in " + of.uncertainty().budget()).hasSize(1);
    return Math.abs(lines.get(0).standard() * lines.get(0).sensitivity());
  }

  @Test
  void whatTheCertificatesSayIsTakenOutOfTheReadingsAndStandsInTheBudget() throws IOException {
    prepare();
    corrections(IDENTITY, IDENTITY);
    Cli done = calibrate("");
    assertThat(done.code()).as(done.out() + done.err()).isZero();
    assertThat(done.out())
        .contains(
            "UNCALIBRATED: this run calibrates the bench",
            "as the instruments show them, but for what is told as corrected")
        .containsPattern(
            "corrected: line-meter left output ×0\\.99108.*; ohmmeter check resistor ×0");
    assertThat(BuiltInErrors.hold(bench(), file()))
        .containsEntry("outputs", 1)
        .containsEntry("inputs", 2)
        .containsEntry("resistors", 1);
    RunRecord record = record(done);
    assertThat(corrected(record))
        .singleElement()
        .asString()
        .contains("line-meter left output", "ohmmeter check resistor");
    Measurement output = named(record, "output full scale");
    // The tone is 3 dB below full scale: what is left of a volt read counts by the root of two.
    assertThat(line(output, "correction of line-meter, left output"))
        .isCloseTo(0.2e-3 * Math.pow(10, 3 / 20.0), within(2e-6));
    assertThat(
            line(
                named(record, "resistance as connected"), "correction of ohmmeter, check resistor"))
        .isCloseTo(4e-3, within(1e-9));
    assertThat(Calibration.read(file()).value().meterCorrections())
        .as("kept for the next time")
        .hasSize(2);
  }

  @Test
  void ofAnotherInstrumentNothingIsTakenOut() throws IOException {
    prepare();
    corrections("another one", "another one");
    Cli done = calibrate("");
    assertThat(done.code()).as(done.out() + done.err()).isZero();
    assertThat(done.out())
        .contains("note: not kept: corrections of line-meter, \"another one\"")
        .contains("note: not kept: corrections of ohmmeter, \"another one\"")
        .contains(NOBODY)
        .doesNotContain("corrected: ");
    assertThat(corrected(record(done))).isEmpty();
    Calibration found = Calibration.read(file()).value();
    assertThat(found.output("audio", "left").orElseThrow().value().value())
        .isCloseTo(2 * 1.009 * 1.009, within(2e-3));
    assertThat(found.resistance("check resistor").orElseThrow().value().value())
        .isCloseTo(10.034 * 1.007, within(6e-3));
    assertThat(found.meterCorrections()).isEmpty();
  }

  @Test
  void ofOneThatIsStillThereItIsTakenOutAndTold() throws IOException {
    prepare();
    corrections("another one", IDENTITY);
    Cli done = calibrate(" A.\u0007 Person\t");
    assertThat(done.code()).as(done.out() + done.err()).isZero();
    assertThat(done.out()).doesNotContain(NOBODY);
    assertThat(file()).content().contains("\nby: \"A. Person\"\n");
    assertThat(corrected(record(done)))
        .singleElement()
        .asString()
        .contains("ohmmeter check resistor")
        .doesNotContain("line-meter");
    Calibration found = Calibration.read(file()).value();
    assertThat(found.resistance("check resistor").orElseThrow().value().value())
        .isCloseTo(10.034, within(6e-3));
    assertThat(found.meterCorrections()).hasSize(1);
  }
}
