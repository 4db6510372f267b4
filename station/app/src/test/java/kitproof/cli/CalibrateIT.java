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
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Calibration of the simulated bench with errors: what its file builds in is found within the
 * uncertainty stated, and a run that uses what was found shows a path without errors.
 */
class CalibrateIT {
  @TempDir private Path folder;

  /** The shipped files, with shorter sweeps and fewer tones. */
  private void prepare() throws IOException {
    Files.copy(Cli.example("calibration-limits.yaml"), folder.resolve("calibration-limits.yaml"));
    Files.writeString(
        folder.resolve("bench-uneven.yaml"),
        Files.readString(Cli.example("bench-uneven.yaml")).replaceFirst("(?m)^selfcheck: .*$", ""));
    Files.writeString(
        folder.resolve("calibration.yaml"),
        Files.readString(Cli.example("calibration.yaml"))
            .replace("[-1 dB, -20 dB, -40 dB]", "[-1 dB, -20 dB]")
            .replace("[100 Hz, 997 Hz, 6 kHz]", "[997 Hz, 6 kHz]")
            .replace(
                "procedure: calibrate-path", "procedure: calibrate-path\n        duration: 3 s"));
  }

  /** What uses a calibration that is there: levels and path of one channel. */
  private void shorten() throws IOException {
    Path plan = folder.resolve("calibration.yaml");
    String whole = Files.readString(plan);
    Files.writeString(
        plan,
        whole
            .replaceFirst("(?s)  - step: loads left.*?(?=  - repeat:)", "")
            .replaceFirst("(?s)      - step: residual.*", "")
            .replace("[left, right]", "[left]"));
    noLimits();
  }

  private void noLimits() throws IOException {
    Files.writeString(
        folder.resolve("calibration-limits.yaml"),
        "limits: l\nproduct: bench\nrevision: A\nrule: simple acceptance\njudge: []\n");
  }

  private Cli calibration(String command, Object... more) {
    List<Object> arguments =
        new ArrayList<>(
            List.of(
                command,
                folder.resolve("calibration.yaml"),
                "--bench",
                folder.resolve("bench-uneven.yaml"),
                "--records",
                folder.resolve("records")));
    arguments.addAll(List.of(more));
    return Cli.run(arguments.toArray());
  }

  private Path file() {
    return folder.resolve("bench-uneven.calibration.yaml");
  }

  @Test
  void whatIsBuiltInIsFoundAndThenCorrected() throws IOException {
    prepare();
    Cli found =
        calibration(
            "calibrate",
            "--due",
            "2999-12-31",
            "--by",
            "A. Person",
            "--certificate",
            "line-meter: C-17, 2026-03-01, 2999-12-30, A Laboratory",
            "--accuracy",
            "hv-meter: hv, ±(0.05 % + 3 digits), resolution 0.1 V");
    assertThat(found.code()).as(found.out() + found.err()).isZero();
    assertThat(found.out()).contains("note: uncalibrated").contains("calibration: " + file());

    Map<String, Integer> held = BuiltInErrors.hold(folder.resolve("bench-uneven.yaml"), file());
    assertThat(held)
        .containsAllEntriesOf(BuiltInErrors.OF_THE_UNEVEN_BENCH)
        .containsEntry("thd+n of residuals", 16);
    assertThat(held.get("phases of paths")).isGreaterThan(300);
    String text = Files.readString(file());
    assertThat(text)
        .contains("{at: 1 Hz, level: -5.1", "\nby: \"A. Person\"\n")
        .contains("\nroom-temperature: 23 °C\nroom-humidity: 45 %\n")
        .contains("{function: \"hv\", limits: \"±(0.05 % + 3 digits)\", resolution: 0.1 V}");

    shorten();
    Cli corrected = calibration("run", "--unit", "B-1");
    assertThat(corrected.code()).as(corrected.out() + corrected.err()).isZero();
    assertThat(corrected.out())
        .contains("note: calibrated on ")
        .contains("holds until 2999-12-30") // the certificate's last day comes first
        .contains("corrected: output audio left 2.018")
        .doesNotContain("uncalibrated");
    JsonNode record =
        new ObjectMapper()
            .readTree(Path.of(corrected.lastLine().replaceFirst(".*record: ", "")).toFile());
    assertThat(record.path("digests").path("calibration").asText()).startsWith("sha256:");
    assertFlat(record);
  }

  private static void assertFlat(JsonNode record) {
    int curves = 0;
    for (JsonNode step : record.path("steps")) {
      for (JsonNode result : step.path("results")) {
        JsonNode curve = result.path("measurement").path("figure").path("curve");
        if (result.path("measurement").path("name").asText().equals("path level")) {
          curves++;
          for (int i = 0; i < curve.path("x").size(); i++) {
            if (curve.path("x").get(i).asDouble() >= 20) {
              assertThat(curve.path("y").get(i).asDouble()).isCloseTo(0, within(2e-3));
            }
          }
        }
      }
    }
    assertThat(curves).isEqualTo(2);
  }

  @Test
  void whatDoesNotHoldIsRefusedUnlessItIsSaid() throws IOException {
    prepare();
    Files.writeString(
        folder.resolve("calibration.yaml"),
        Files.readString(folder.resolve("calibration.yaml"))
            .replaceFirst("(?s)  - step: levels left.*", "")
            .replaceFirst("(?s)\\z", ""));
    noLimits();
    String good = "bench: simulated bench with errors\ndate: 2020-01-01\n";
    Files.writeString(file(), good + "due: 2021-01-01\n");
    Cli expired = calibration("run", "--unit", "B-1");
    assertThat(expired.code()).isEqualTo(2);
    assertThat(expired.err()).contains("found a calibration that was due on 2021-01-01");
    assertThat(expired.err())
        .contains(file() + ":3:6: found a calibration that was due")
        .contains("a new one by \"kitproof calibrate\", or --uncalibrated");
    Cli said = calibration("run", "--unit", "B-1", "--uncalibrated");
    assertThat(said.out()).contains("UNCALIBRATED: no figure of this run is corrected");

    Files.writeString(file(), good + "instruments: {audio: {identity: another one}}\n");
    Cli exchanged = calibration("run", "--unit", "B-2");
    assertThat(exchanged.code()).as(exchanged.out()).isEqualTo(2);
    assertThat(exchanged.out())
        .contains(file() + ":3:22: found audio calibrated as \"another one\"")
        .contains("Put the one that was calibrated back");

    Files.writeString(file(), good.replace("with errors", "of somebody else"));
    Cli other = calibration("run", "--unit", "B-3");
    assertThat(other.code()).isEqualTo(2);
    assertThat(other.err()).contains("expected \"simulated bench with errors\"");

    Files.writeString(file(), good + "outputs: [{channel: left, full-scale: 2 ohm, u: 1 mV}]\n");
    Cli damaged = calibration("run", "--unit", "B-4");
    assertThat(damaged.code()).isEqualTo(2);
    assertThat(damaged.err())
        .contains(file() + ":3:")
        .contains("full-scale")
        .contains("a new one by \"kitproof calibrate\", or --uncalibrated");
    Files.writeString(file(), good + "outputs: [\n");
    Cli broken = calibration("run", "--unit", "B-4");
    assertThat(broken.code()).isEqualTo(2);
    assertThat(broken.err()).contains(file() + ":");
    Cli over = calibration("calibrate");
    assertThat(over.code()).as("certificates in it would be lost").isEqualTo(2);
    assertThat(over.err()).contains("a calibration that cannot be read", "moved away");
    assertThat(Files.readString(file())).isEqualTo(good + "outputs: [\n");

    Files.writeString(
        file(),
        good
            + "instruments:\n  line-meter: {certificate: {number: C-17, date: 2019-03-01,"
            + " due: 2020-02-28, by: A}}\n");
    Cli certificate = calibration("run", "--unit", "B-4");
    assertThat(certificate.code()).isEqualTo(2);
    assertThat(certificate.err())
        .contains("certificate C-17 of line-meter, which was due on 2020-02-28");
    Files.delete(file());
    Cli form = calibration("calibrate", "--certificate", "line-meter: C-17");
    assertThat(form.code()).isEqualTo(2);
    assertThat(form.err()).contains("--certificate: found \"line-meter: C-17\"; expected role");
    Cli role =
        calibration("calibrate", "--certificate", "line-metre: C-17, 2026-03-01, 2999-02-28, A");
    assertThat(role.code()).isEqualTo(2);
    assertThat(role.err()).contains("did you mean \"line-meter\"");

    for (String wrong :
        List.of(
            "hv-meter: hv", "hv-meter: hv, +/-0.1 %, soon", "hv-meter: hv, +/-0.1 %, range V")) {
      Cli accuracy = calibration("calibrate", "--accuracy", wrong);
      assertThat(accuracy.code()).as(wrong).isEqualTo(2);
      assertThat(accuracy.err()).contains("--accuracy: found \"" + wrong + "\"; expected role");
    }
    Cli limits =
        calibration(
            "calibrate",
            "--accuracy",
            "hv-meter: hw, about a volt",
            "--accuracy",
            "relays: hv, ±0.1 %",
            "--accuracy",
            "hv-meter: hv, ±0.1 % of range, range 5",
            "--accuracy",
            "hv-meter: ripple, ±(1 % + 3 digits)");
    assertThat(limits.code()).isEqualTo(2);
    assertThat(limits.err())
        .contains("limits: \"about a volt\"", "did you mean \"hv\"")
        .contains("limits of error of relays, a switcher", "expected a meter")
        .contains("range: 5 without a unit")
        .contains("digits without a resolution");

    Cli day = calibration("calibrate", "--due", "soon");
    assertThat(day.code()).isEqualTo(2);
    assertThat(day.err()).contains("--due: found \"soon\"; expected a day");
  }
}
