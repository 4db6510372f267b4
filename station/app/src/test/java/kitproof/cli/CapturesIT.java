package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import kitproof.event.Event;
import kitproof.journal.CaptureFolder;
import kitproof.journal.RecordDocument;
import kitproof.journal.RunRecord;
import kitproof.value.Figure;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Captures kept beside the record, and what can be done with them later. */
class CapturesIT {
  private static final Path BENCH = Cli.example("bench-simulated.yaml");

  @TempDir Path folder;

  private Path limits(String gain) throws IOException {
    return SmallPlans.gainLimits(folder, "simple acceptance", gain);
  }

  /** First power, and the gain of both channels, which is judged good. */
  static Path shortPlan(Path folder, String captures) throws IOException {
    SmallPlans.gainLimits(folder, "simple acceptance", "low: 20 dB");
    return SmallPlans.gain(folder, "both", captures);
  }

  private Cli run(Path plan, Path records) {
    return Cli.run(
        "run", plan, "--bench", BENCH, "--records", records, "--unit", "LN12-001", "--json");
  }

  private static Path record(Cli run) {
    return Path.of(run.json().get("record").asText());
  }

  private static List<Path> wavs(Path records) throws IOException {
    if (!Files.exists(records.resolve("captures"))) {
      return List.of();
    }
    try (Stream<Path> all = Files.walk(records.resolve("captures"))) {
      return all.filter(Files::isRegularFile).sorted().toList();
    }
  }

  private static Cli again(Path record, Path plan) {
    return Cli.run("analyze", "record", record, "--plan", plan, "--bench", BENCH, "--json");
  }

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
    Path records = folder.resolve("records");
    Cli run = run(plan, records);
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    Cli again = again(record(run), plan);
    assertThat(again.code()).as(again.err()).isZero();
    assertThat(again.json().get("troubles")).isEmpty();
    assertThat(again.json().get("results")).hasSizeGreaterThan(60);
    for (JsonNode result : again.json().get("results")) {
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

  private static double left(Cli analysed, String of) {
    for (JsonNode result : analysed.json().get("results")) {
      if (result.get("name").asText().equals("gain")
          && result.get("conditions").get("channel").asText().equals("left")) {
        return result.get(of).asDouble();
      }
    }
    throw new AssertionError("no gain in " + analysed.out());
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
    Path records = folder.resolve("records");
    Cli run = run(plan, records);
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    Cli again = again(record(run), plan);
    assertThat(again.code()).as(again.err()).isZero();
    assertThat(again.json().get("troubles")).isEmpty();
    JsonNode results = again.json().get("results");
    assertThat(results)
        .extracting(result -> result.get("name").asText())
        .containsExactly("gain", "gain", "gain difference");
    double left = results.get(0).get("value").asDouble();
    double right = results.get(1).get("value").asDouble();
    assertThat(results.get(2).get("value").asDouble()).isCloseTo(left - right, within(1e-12));
    assertThat(results.get(2).get("record").asDouble()).isCloseTo(left - right, within(1e-5));
  }

  @Test
  void judgingBeginsAtTheCapturesIfToldTo() throws IOException {
    Path plan = shortPlan(folder, "all");
    Path records = folder.resolve("records");
    Cli run = run(plan, records);
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    limits("low: 90 dB");
    Cli judged =
        Cli.run(
            "rejudge",
            "--limits",
            folder.resolve("limits.yaml"),
            "--records",
            records,
            "--captures-of",
            plan,
            "--bench",
            BENCH);
    assertThat(judged.code()).as(judged.err()).isZero();
    assertThat(judged.err()).isEmpty();
    assertThat(judged.out()).contains("1 of 1 runs would change", "gain", "pass -> fail");
    keptApart(records, plan);
    Cli half =
        Cli.run(
            "rejudge",
            "--limits",
            folder.resolve("limits.yaml"),
            "--records",
            records,
            "--bench",
            BENCH);
    assertThat(half.code()).isEqualTo(2);
    assertThat(half.err()).contains("--captures-of or --bench alone");
  }

  /** New judgements of figures as recorded, and of figures measured again, are two documents. */
  private void keptApart(Path records, Path plan) throws IOException {
    List<Object> recorded =
        List.of(
            "rejudge", "--write", "--limits", folder.resolve("limits.yaml"), "--records", records);
    List<Object> again = new ArrayList<>(recorded);
    again.addAll(List.of("--captures-of", plan, "--bench", BENCH));
    for (List<Object> command : List.of(recorded, again)) {
      assertThat(Cli.run(command.toArray()).out()).contains("new judgements kept: 1");
      assertThat(Cli.run(command.toArray()).out()).contains("kept: 0; 1 were there already");
    }
    List<Path> kept = rejudged(records);
    assertThat(kept).hasSize(2);
    String limits = Digest.of(folder.resolve("limits.yaml")).substring(7, 19);
    String by = Digest.of(plan).substring(7, 19) + "-bench-" + Digest.of(BENCH).substring(7, 19);
    assertThat(kept.get(0).toString())
        .endsWith("limits-" + limits + ".captures-plan-" + by + ".json");
    assertThat(kept.get(1).toString()).endsWith("LN12-001.limits-" + limits + ".json");
    String text = Files.readString(kept.get(0));
    JsonNode document = new ObjectMapper().readTree(text);
    assertThat(document.at("/measuredAgain/plan").asText()).isEqualTo(Digest.of(plan));
    assertThat(document.at("/measuredAgain/troubles")).isEmpty();
    assertThat(document.findValues("figure")).isNotEmpty();
    assertThat(Files.readString(kept.get(1))).contains("\"measuredAgain\" : null");
    // found otherwise before, as by another version of the program: both stay
    Files.writeString(kept.get(0), text.replace("\"after\" : \"fail\"", "\"after\" : \"pass\""));
    assertThat(Cli.run(again.toArray()).out()).contains("new judgements kept: 1");
    assertThat(rejudged(records)).hasSize(3).anyMatch(f -> f.toString().endsWith(by + ".2.json"));
    assertThat(Files.readString(kept.get(0))).contains("\"after\" : \"pass\"");
  }

  private static List<Path> rejudged(Path records) throws IOException {
    try (Stream<Path> files = Files.list(records.resolve("rejudged"))) {
      return files.sorted().toList();
    }
  }

  @Test
  void asFlacTheyAreSmallerAndMeasureTheSame() throws IOException {
    Path wav = folder.resolve("wav");
    assertThat(run(shortPlan(folder, "all"), wav).code()).isZero();
    Path plan = shortPlan(folder, "{keep: all, as: flac}");
    Path records = folder.resolve("records");
    Cli run = run(plan, records);
    assertThat(run.code()).as(run.out() + run.err()).isZero();
    Path record = record(run);
    List<Path> kept = wavs(records);
    assertThat(kept).hasSameSizeAs(wavs(wav)).allMatch(f -> f.toString().endsWith(".flac"));
    for (int i = 0; i < kept.size(); i++) {
      assertThat(Files.size(kept.get(i))).isLessThan(Files.size(wavs(wav).get(i)) * 3 / 4);
    }
    // the simulated interface gives more than 24 bits
    assertThat(new ObjectMapper().readTree(record.toFile()).get("notices").toString())
        .containsOnlyOnce("rounded to the 24 bits that FLAC holds");
    Cli again = again(record, plan);
    assertThat(again.code()).as(again.err()).isZero();
    assertThat(again.json().get("troubles")).isEmpty();
    assertThat(left(again, "value")).isCloseTo(left(again, "record"), within(1e-5));

    Cli judged =
        Cli.run(
            "rejudge",
            "--limits",
            limits("low: 90 dB"),
            "--records",
            records,
            "--captures-of",
            plan,
            "--bench",
            BENCH);
    assertThat(judged.out()).contains("1 of 1 runs would change", "gain", "pass -> fail");

    String file = kept.get(0).toString();
    Cli flac = Cli.run("analyze", file, "--full-scale", "20 V", "--json");
    Cli same = Cli.run("analyze", wavs(wav).get(0), "--full-scale", "20 V", "--json");
    assertThat(flac.code()).as(flac.err()).isZero();
    double level = flac.json().at("/results/0/value").asDouble();
    assertThat(level)
        .isPositive()
        .isCloseTo(same.json().at("/results/0/value").asDouble(), within(1e-6));

    assertThat(Cli.run("store", "verify", "--records", records).code()).isZero();
    byte[] bytes = Files.readAllBytes(kept.get(0));
    bytes[bytes.length / 2] ^= 1;
    Files.write(kept.get(0), bytes);
    Cli verify = Cli.run("store", "verify", "--records", records);
    assertThat(verify.code()).isEqualTo(4);
    assertThat(verify.err()).contains("0001-gain.flac: it was altered after it was written");
    assertThat(Cli.run("analyze", file).err()).contains("0001-gain.flac: found ");
  }

  @Test
  void aCaptureThatWasAlteredOrIsMissingIsNamed() throws IOException {
    Path plan = shortPlan(folder, "all");
    Path records = folder.resolve("records");
    Path record = record(run(plan, records));
    assertThat(Cli.run("store", "verify", "--records", records).code()).isZero();
    Path first = wavs(records).get(0);
    byte[] bytes = Files.readAllBytes(first);
    bytes[bytes.length / 2] ^= 1;
    Files.write(first, bytes);
    Cli verify = Cli.run("store", "verify", "--records", records);
    assertThat(verify.code()).isEqualTo(4);
    assertThat(verify.err()).contains("0001-gain.wav: it was altered after it was written");
    Cli again = again(record, plan);
    assertThat(again.code()).isEqualTo(2);
    assertThat(again.err()).contains("not measured again: step \"gain\"", "altered");
    Files.delete(first);
    assertThat(Cli.run("store", "verify", "--records", records).err()).contains("it is missing");
  }

  @Test
  void ofUnitsThatPassNothingIsKeptIfOnlyFailedOnesAreWanted() throws IOException {
    Path plan = shortPlan(folder, "failed");
    Path good = folder.resolve("good");
    assertThat(run(plan, good).code()).isZero();
    assertThat(wavs(good)).isEmpty();
    limits("low: 90 dB");
    Path bad = folder.resolve("bad");
    Cli failed = run(plan, bad);
    assertThat(failed.code()).isEqualTo(1);
    assertThat(wavs(bad)).isNotEmpty();
    assertThat(Files.readString(record(failed))).contains("\"capture-kept\"", "0001-gain.wav");
    assertThat(Cli.run("store", "verify", "--records", bad).code()).isZero();
  }

  @Test
  void withoutTheOptionNothingIsKept() throws IOException {
    Path records = folder.resolve("records");
    assertThat(run(shortPlan(folder, "none"), records).code()).isZero();
    assertThat(wavs(records)).isEmpty();
    Cli typo = run(shortPlan(folder, "fail"), records);
    assertThat(typo.code()).isEqualTo(2);
    assertThat(typo.err()).contains("found captures \"fail\"; expected one of none, failed, all");
    Cli form = run(shortPlan(folder, "{keep: all, as: flak}"), records);
    assertThat(form.code()).isEqualTo(2);
    assertThat(form.err()).contains("found as \"flak\"", "\"flac\"");
  }
}
