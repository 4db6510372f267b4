package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import kitproof.event.Event;
import kitproof.journal.CaptureFolder;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.value.Figure;
import org.junit.jupiter.api.Test;

/** The figures of a record, measured again from the captures beside it. */
class MeasuredAgainIT extends CaptureScene {
  @Test
  void everyAudioStepOfTheLinnetFindsTheFiguresOnRecordInItsCaptures() throws IOException {
    limits("low: 20 dB");
    Path plan =
        Files.writeString(
            folder.resolve("plan.yaml"),
            Files.readString(Cli.example("plan.yaml"))
                .replaceFirst("(?m)^limits: .*$", "limits: limits.yaml\ncaptures: all")
                .replace("tap: [4 ohm, 8 ohm, 16 ohm]", "tap: [8 ohm]")
                .replace("tap: [4 ohm, 8 ohm]", "tap: [8 ohm]")
                .replace("mode: [ultralinear, triode]", "mode: [ultralinear]")
                .replaceFirst("(?s)  - step: gain lost in triode.*?\n\n", "")
                .replaceAll("(?s)      - step: distortion at full power, triode.*?\n\n", "")
                .replace("sweep: 3 s", "sweep: 1 s"));
    Cli run = run(plan, folder.resolve("records"));
    JsonNode results = measuredAgain(run, plan);
    assertThat(results).hasSizeGreaterThan(60);
    for (JsonNode result : results) {
      JsonNode now = result.has("value") ? result.get("value") : result.get("y");
      String what = result.get("name").asText() + " " + result.get("conditions");
      assertThat(result.has("record-invalid")).as(what).isEqualTo(result.has("invalid"));
      assertClose(what, now, result.get("record"));
    }
    theImpedanceIsInItsLastTwoCapturesWithNothingToldOfTheirDrives(record(run));
  }

  private static void theImpedanceIsInItsLastTwoCapturesWithNothingToldOfTheirDrives(Path document)
      throws IOException {
    RunRecord record = RecordDocument.read(document);
    RunRecord.Step step =
        record.steps().stream()
            .filter(one -> one.procedure().equals("output-impedance"))
            .findFirst()
            .orElseThrow();
    List<Event.CaptureKept> own =
        CaptureFolder.of(record).stream().filter(kept -> kept.index() == step.index()).toList();
    Event.CaptureKept first = own.get(own.size() - 2);
    Event.CaptureKept second = own.get(own.size() - 1);
    assertThat(second.drives().get("left")).isLessThan(0.95 * first.drives().get("left"));
    Cli cli =
        Cli.run(
            "analyze",
            "output-impedance",
            document.resolveSibling(first.file()),
            document.resolveSibling(second.file()),
            "--first-load",
            first.loads().get("left"),
            "--second-load",
            second.loads().get("left"),
            "--sweep",
            "20 Hz..20 kHz",
            "--duration",
            "1 s",
            "--aligned",
            "--json");
    assertThat(cli.code()).as(cli.err()).isZero();
    double found = 0;
    for (JsonNode result : cli.json().get("results")) {
      found =
          result.get("name").asText().equals("output impedance at 1 kHz")
              ? result.get("value").asDouble()
              : found;
    }
    double recorded =
        step.results().stream()
            .map(RunRecord.Result::measurement)
            .filter(m -> m.name().equals("output impedance at 1 kHz"))
            .filter(m -> "left".equals(m.conditions().values().get("channel")))
            .map(m -> ((Figure.OfQuantity) m.figure()).quantity().value())
            .findFirst()
            .orElseThrow();
    assertThat(found).isCloseTo(recorded, within(0.02 * recorded));
  }

  /**
   * The captures of a simulated interface are rounded to 32 bits; those of a real one are not. What
   * lies a hundred decibels under the tone hears of that in the third decimal of its decibels.
   */
  private static void assertClose(String what, JsonNode now, JsonNode then) {
    if (now.isArray()) {
      assertThat(now).as(what).hasSize(then.size());
      for (int i = 0; i < now.size(); i++) {
        assertClose(what + " at point " + i, now.get(i), then.get(i));
      }
    } else if (!now.isNull()) {
      double figure = then.asDouble();
      assertThat(now.asDouble())
          .as(what)
          .isCloseTo(
              figure, within(Math.abs(figure) > 60 ? 1e-2 : 1e-5 * Math.max(1, Math.abs(figure))));
    }
  }

  /**
   * The shipped bench beside a calibration: more level than it says, and a path that is not flat.
   */
  private Path calibratedBench() throws IOException {
    return new CalibratedBench(
            List.of("left", "right"),
            "full-scale: 2.02 V, u: 1 mV",
            1.02,
            "1 mV",
            "level: -1 dB, u: 0 dB",
            "level: 0.5 dB, u: 0 dB",
            "")
        .in(folder);
  }

  @Test
  void onACalibratedBenchCapturesAreRawAndCorrectedOnceWhenMeasuredAgain() throws IOException {
    Path bench = calibratedBench();
    Path plan = shortPlan(folder, "all");
    Path records = folder.resolve("records");
    Cli run =
        Cli.run(
            "run", plan, "--bench", bench, "--records", records, "--unit", "LN12-001", "--json");
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    Path record = record(run);
    Files.delete(folder.resolve("bench.calibration.yaml")); // the run has a copy of its own
    Cli again = Cli.run("analyze", "record", record, "--plan", plan, "--bench", bench, "--json");
    assertThat(again.code()).as(again.err()).isZero();
    assertThat(again.json().get("troubles")).isEmpty();
    assertThat(left(again, "value")).isCloseTo(left(again, "record"), within(1e-6));

    // what the file holds are the interface's own volts: the same unit on the bench as it says
    Path plain = folder.resolve("plain");
    double uncorrected = left(again(record(run(plan, plain)), plan), "record");
    List<Event.CaptureKept> kept = CaptureFolder.of(RecordDocument.read(record));
    assertThat(kept)
        .isNotEmpty()
        .allSatisfy(
            one -> {
              assertThat(one.inputs().get(0).fullScalePeakVolts())
                  .isCloseTo(20 * Math.sqrt(2), within(1e-9));
              assertThat(one.corrections()).startsWith("sha256:");
              assertThat(one.range()).startsWith("range ");
            });
    // the path at 1 kHz, between -1 dB and 0.5 dB on a line over the logarithm of frequency
    double path = -1 + 1.5 * Math.log(1000 / 10.0) / Math.log(20_000 / 10.0);
    double corrected = uncorrected + 20 * Math.log10(1.02 / 1.01) - path;
    assertThat(left(again, "record")).isNotCloseTo(uncorrected, within(0.05));

    Path copy = records.resolve(kept.get(0).file()).resolveSibling("calibration.yaml");
    assertThat(Cli.run("store", "verify", "--records", records).code()).isZero();
    Files.writeString(copy, Files.readString(copy).replace("20.4 V", "40.8 V"));
    Cli verify = Cli.run("store", "verify", "--records", records);
    assertThat(verify.code()).isEqualTo(4);
    assertThat(verify.err()).contains("of the calibration beside it: it was altered");
    Cli refused = Cli.run("analyze", "record", record, "--plan", plan, "--bench", bench);
    assertThat(refused.code()).isEqualTo(2);
    assertThat(refused.err()).contains("calibration.yaml: it was altered");
    assertThat(left(again, "record"))
        .as("%s dB uncorrected", uncorrected)
        .isCloseTo(corrected, within(0.02));
  }

  /** What is told of two figures must hold for those found now, not for those on record. */
  @Test
  void aComparisonFollowsTheFiguresThatAreMeasuredAgain() throws IOException {
    Path plan = shortPlan(folder, "all");
    String balance =
        """
          - {step: balance, procedure: comparison, result: gain,
             conditions: {mode: ultralinear, tap: 8 ohm},
             of: {channel: left}, against: {channel: right}}
        """;
    Files.writeString(plan, Files.readString(plan).replace("shut-down:", balance + "shut-down:"));
    JsonNode results = measuredAgain(run(plan, folder.resolve("records")), plan);
    assertThat(results)
        .extracting(result -> result.get("name").asText())
        .containsExactly("gain", "gain", "gain difference");
    double left = results.get(0).get("value").asDouble();
    double right = results.get(1).get("value").asDouble();
    assertThat(results.get(2).get("value").asDouble()).isCloseTo(left - right, within(1e-12));
    assertThat(results.get(2).get("record").asDouble()).isCloseTo(left - right, within(1e-5));
  }

  /** What comes of all captures of a good run, measured again without trouble. */
  private static JsonNode measuredAgain(Cli run, Path plan) {
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    Cli again = again(record(run), plan);
    assertThat(again.code()).as(again.err()).isZero();
    assertThat(again.json().get("troubles")).isEmpty();
    return again.json().get("results");
  }
}
