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
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Calibration of the simulated bench with errors: what its file builds in is found within the
 * uncertainty stated, and a run that uses what was found shows a path without errors.
 */
class CalibrateIT {
  private static final double RATE = 96_000;
  private static final Pattern POINT =
      Pattern.compile("\\{at: (\\S+) Hz, level: (\\S+) dB, u: (\\S+) dB");

  @TempDir private Path folder;

  /** The shipped files, one channel of them, with shorter sweeps. */
  private void prepare() throws IOException {
    Files.copy(Cli.example("calibration-limits.yaml"), folder.resolve("calibration-limits.yaml"));
    Files.writeString(
        folder.resolve("bench-uneven.yaml"),
        Files.readString(Cli.example("bench-uneven.yaml")).replaceFirst("(?m)^selfcheck: .*$", ""));
    String plan = Files.readString(Cli.example("calibration.yaml"));
    int right = plan.indexOf("  - step: levels right");
    int path = plan.indexOf("  - repeat:");
    Files.writeString(
        folder.resolve("calibration.yaml"),
        plan.substring(0, right)
            + plan.substring(path)
                .replace("[left, right]", "[left]")
                .replace("[-1 dB, -20 dB, -40 dB]", "[-1 dB]")
                .replace("[100 Hz, 997 Hz, 6 kHz]", "[997 Hz]")
                .replace(
                    "procedure: calibrate-path",
                    "procedure: calibrate-path\n        duration: 3 s"));
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

  private static double[] fullScale(String text, String entry) {
    Matcher found =
        Pattern.compile(Pattern.quote(entry) + ", full-scale: (\\S+) V, u: (\\S+) V").matcher(text);
    assertThat(found.find()).as(entry + " in " + text).isTrue();
    return new double[] {Double.parseDouble(found.group(1)), Double.parseDouble(found.group(2))};
  }

  private static void assertFound(double[] found, double truth) {
    assertThat(found[0]).as("u %s", found[1]).isCloseTo(truth, within(2 * found[1]));
    assertThat(found[1]).isLessThan(1e-3 * truth);
  }

  /**
   * A first-order corner by the bilinear transform: what the simulated inputs do, in closed form.
   */
  private static double corner(double hertz, double corner, boolean high) {
    double ratio = Math.tan(Math.PI * hertz / RATE) / Math.tan(Math.PI * corner / RATE);
    double power = 1 / (1 + ratio * ratio);
    return 10 * Math.log10(high ? 1 - power : power);
  }

  private static double path(double hertz) {
    return corner(hertz, 1.5, true) + corner(hertz, 46_000, false);
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

    String text = Files.readString(file());
    assertFound(fullScale(text, "{channel: \"left\""), 2 * 1.009);
    assertFound(fullScale(text, "range: \"range 20 V\""), 20 / 0.993);
    assertFound(fullScale(text, "range: \"range 5 V\""), 20 / 0.993 / 4.03);
    Matcher points = POINT.matcher(text);
    int all = 0;
    int outside = 0;
    while (points.find()) {
      double hertz = Double.parseDouble(points.group(1));
      double error = Double.parseDouble(points.group(2)) - (path(hertz) - path(997));
      double u = Double.parseDouble(points.group(3));
      all++;
      outside += Math.abs(error) > 2 * u ? 1 : 0;
      assertThat(error).as("%s Hz, u %s", hertz, u).isCloseTo(0, within(4 * u));
    }
    assertThat(text).contains("{at: 1 Hz, level: -5.1");
    assertThat(all).isGreaterThan(150);
    assertThat(outside).isLessThan(all / 12); // one in twenty is beyond two standard uncertainties

    assertThat(text)
        .contains("\nroom-temperature: 23 °C\nroom-humidity: 45 %\n")
        .contains("{function: \"hv\", limits: \"±(0.05 % + 3 digits)\", resolution: 0.1 V}");
    theRestIsFound(text);
    shippedIsWhatIsFound(text);

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

  /** A value with its standard uncertainty behind a piece of the file. */
  private static double[] found(String text, String entry, String key, String unit) {
    Matcher found =
        Pattern.compile(
                Pattern.quote(entry)
                    + "[^}]*"
                    + key
                    + ": (\\S+?)( "
                    + unit
                    + ")?, u: (\\S+?)( "
                    + unit
                    + ")?[,}]")
            .matcher(text);
    assertThat(found.find()).as(entry + " in " + text).isTrue();
    return new double[] {Double.parseDouble(found.group(1)), Double.parseDouble(found.group(3))};
  }

  private static void assertWithin(double[] found, double truth, double most) {
    assertThat(found[0]).as("u %s", found[1]).isCloseTo(truth, within(3 * found[1]));
    assertThat(found[1]).isPositive().isLessThan(most);
  }

  /** Resistors, ratio, leakage, delay and residual, against what the bench file builds in. */
  private static void theRestIsFound(String text) {
    assertWithin(found(text, "\"left 8 ohm tap\"", "resistance", "ohm"), 8.071, 5e-3);
    assertWithin(found(text, "\"left 4 ohm tap\"", "resistance", "ohm"), 4.043, 5e-3);
    assertWithin(found(text, "\"right 8 ohm tap\"", "resistance", "ohm"), 7.948, 5e-3);
    assertWithin(found(text, "\"right 4 ohm tap\"", "resistance", "ohm"), 3.962, 5e-3);
    assertWithin(found(text, "\"left 16 ohm tap\"", "resistance", "ohm"), 16.124, 8e-3);
    double second = 1 / (1 / 7.948 + 1 / 20.13);
    assertWithin(
        found(text, "\"right 8 ohm tap, second load\"", "resistance", "ohm"), second, 5e-3);
    assertWithin(found(text, "\"inputs through 47 kohm\"", "resistance", "ohm"), 46_710, 30);
    assertWithin(found(text, "\"check resistor\"", "resistance", "ohm"), 10.034, 6e-3);
    String attenuators = text.substring(text.indexOf("attenuators:"));
    assertWithin(found(attenuators, "range: \"range 5 V\"", "ratio", ""), 1 / 4.03, 1e-5);
    assertWithin(
        found(text, "from: \"left\", to: \"right\", at: 1000 Hz", "level", "dB"), -88, 0.3);
    assertWithin(
        found(text, "from: \"right\", to: \"left\", at: 20000 Hz", "level", "dB"), -88, 0.3);
    // Six samples, and the slope of the inputs' filters an octave around the tone.
    double low = 997 / Math.sqrt(2);
    double high = 997 * Math.sqrt(2);
    double filters = (turn(low) - turn(high)) / (360 * (high - low));
    double[] delay = found(text, "{channel: \"left\"", "delay", "s");
    assertThat(delay[0]).isCloseTo(6 / RATE + filters, within(3 * delay[1]));
    // Third harmonic of -96 dB at full scale, and 2 dB less for each dB below.
    Matcher residual =
        Pattern.compile("range 5 V\", at: 997 Hz, level: (\\S+) dB, thd: (\\S+) dB").matcher(text);
    assertThat(residual.find()).isTrue();
    double level = Double.parseDouble(residual.group(1));
    assertThat(Double.parseDouble(residual.group(2))).isCloseTo(-96 + 2 * level, within(0.5));
  }

  private static double turn(double hertz) {
    double at = Math.tan(Math.PI * hertz / RATE);
    return Math.toDegrees(
        Math.atan(Math.tan(Math.PI * 1.5 / RATE) / at)
            - Math.atan(at / Math.tan(Math.PI * 46_000 / RATE)));
  }

  /** The calibration that is shipped with the bench is what calibrating that bench finds. */
  private static void shippedIsWhatIsFound(String text) throws IOException {
    String shipped = Files.readString(Cli.example("bench-uneven.calibration.yaml"));
    assertThat(shipped).contains("# Written by \"kitproof calibrate\"", "residuals:", "leakages:");
    for (String entry :
        List.of("{channel: \"left\"", "range: \"range 20 V\"", "range: \"range 5 V\"")) {
      double[] here = fullScale(text, entry);
      assertThat(fullScale(shipped, entry)[0]).isCloseTo(here[0], within(2 * here[1]));
    }
    for (String route : List.of("left 8 ohm tap", "right 4 ohm tap", "check resistor")) {
      double[] here = found(text, '"' + route + '"', "resistance", "ohm");
      assertThat(found(shipped, '"' + route + '"', "resistance", "ohm")[0])
          .isCloseTo(here[0], within(2 * here[1]));
    }
    Matcher is = POINT.matcher(shipped);
    Matcher was = POINT.matcher(text);
    int compared = 0;
    while (is.find() && was.find()) {
      assertThat(is.group(1)).isEqualTo(was.group(1));
      double u = Math.hypot(Double.parseDouble(is.group(3)), Double.parseDouble(was.group(3)));
      assertThat(Double.parseDouble(is.group(2)))
          .isCloseTo(Double.parseDouble(was.group(2)), within(4 * u));
      compared++;
    }
    assertThat(compared).isGreaterThan(150);
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
    Files.writeString(
        folder.resolve("calibration-limits.yaml"),
        "limits: l\nproduct: bench\nrevision: A\nrule: simple acceptance\njudge: []\n");
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
