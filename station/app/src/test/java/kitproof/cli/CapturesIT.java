package kitproof.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Captures kept beside the record, and what can be done with them later. */
class CapturesIT {
  private static final Path BENCH = Cli.example("bench-simulated.yaml");

  @TempDir Path folder;

  private Path limits(String gain) throws IOException {
    return limits(folder, gain);
  }

  private static Path limits(Path folder, String gain) throws IOException {
    Path file = folder.resolve("limits.yaml");
    Files.writeString(
        file,
        """
        limits: gain only
        product: Linnet 12
        revision: B
        rule: simple acceptance
        judge:
          - {result: supply rise settled, low: 250 V, high: 310 V}
          - {result: supply rise, mask: [{at: 2 s, low: 30 V}, {at: 10 s, low: 30 V}]}
          - {result: gain, %s}
        """
            .formatted(gain));
    return file;
  }

  /** First power, and the gain of both channels. */
  static Path shortPlan(Path folder, String captures) throws IOException {
    limits(folder, "low: 20 dB");
    return Files.writeString(
        folder.resolve("plan.yaml"),
        """
        plan: gain only
        product: Linnet 12
        revision: B
        limits: limits.yaml
        captures: %s
        steps:
          - {step: first power, procedure: supply-rise, conditions: {lamps: 2}, meter: hv-meter,
             function: hv, watch: 20 s, on-fail: stop}
          - {step: warm-up, procedure: warm-up, mains: direct, conditions: {point: cathode V3},
             meter: probe-meter, function: dc-voltage, at-least: 30 s, at-most: 120 s}
          - {step: gain, procedure: gain, power: 1 W,
             conditions: {mode: ultralinear, tap: 8 ohm, channel: both}}
        shut-down:
          - {step: discharge, procedure: discharge, meter: hv-meter, function: hv, safe: 30 V,
             give-up-after: 150 s}
        """
            .formatted(captures));
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
  }
}
