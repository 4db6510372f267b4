package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import kitproof.calibration.Calibration;
import kitproof.calibration.Standing;
import kitproof.document.YamlReader;
import kitproof.limit.LimitFile;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;

class GuardedOnBenchTest {
  private static final Bench BENCH =
      YamlReader.read("b.yaml", SmallFiles.BENCH).flatMap(BenchReader::read).value();
  private static final Plan PLAN =
      YamlReader.read(
              "p.yaml",
              SmallFiles.PLAN.replace(
                  "shut-down:",
                  "  - {step: response, procedure: frequency-response, power: 1 W,"
                      + " conditions: {channel: left, tap: 8 ohm}}\nshut-down:"))
          .flatMap(source -> PlanReader.read(source, Path.of("p.yaml")))
          .value();

  private static final String FLAT =
      "points: [{at: 1 Hz, level: 0 dB, u: 0 dB, phase: 0 deg},"
          + " {at: 20 kHz, level: 0 dB, u: 0 dB, phase: 0 deg}]";

  private static final String LEVELS =
      """
      outputs:
        - {channel: left, full-scale: 2 V, u: 1 mV}
        - {channel: right, full-scale: 2 V, u: 1 mV}
      inputs:
        - {channel: left, full-scale: 20 V, u: 1 mV}
        - {channel: right, full-scale: 20 V, u: 1 mV}
      paths:
        - {channel: left, %1$s}
        - {channel: right, %1$s}
      """
          .formatted(FLAT);

  private static LimitFile limits(String rule, String entries) {
    return LimitFile.read(
            "l.yaml", "limits: l\nproduct: Linnet 12\nrevision: B\n" + rule + "judge:\n" + entries)
        .value();
  }

  private static final String GUARDED = "rule: guarded acceptance\n";
  private static final String GAIN = "  - {result: gain, low: 20 dB}\n";

  private static List<String> problems(LimitFile limits, String calibration) {
    Bench bench =
        calibration.isEmpty()
            ? BENCH
            : BENCH.standing(
                Standing.calibrated(
                    Calibration.read(
                            "c.yaml", "bench: bench of fakes\ndate: 2026-11-26\n" + calibration)
                        .value()));
    return GuardedOnBench.check(limits, PLAN, bench).stream().map(Problem::toString).toList();
  }

  @Test
  void simpleAcceptanceAsksForNothing() {
    assertThat(problems(limits("rule: simple acceptance\n", GAIN), "")).isEmpty();
  }

  @Test
  void withoutCalibrationNothingCanBeGuarded() {
    assertThat(problems(limits(GUARDED, GAIN), ""))
        .singleElement()
        .asString()
        .contains("l.yaml", "bench without calibration", "kitproof calibrate");
  }

  @Test
  void whatTheResultRestsOnHasToBeInTheCalibration() {
    assertThat(problems(limits(GUARDED, GAIN), LEVELS)).isEmpty();
    assertThat(problems(limits(GUARDED, GAIN), LEVELS.replaceFirst("(?s)inputs:.*", "")))
        .singleElement()
        .asString()
        .contains("a guarded limit for gain", "the full scale and path of the input", "step gain");
    String thd = "  - {result: thd, high: 1 %}\n";
    assertThat(problems(limits(GUARDED, thd), LEVELS))
        .singleElement()
        .asString()
        .contains("guarded limit for thd", "in the calibration");
    String all =
        LEVELS
            + "resistors: [{route: left 8 ohm tap, resistance: 8 ohm, u: 1 mohm}]\n"
            + "residuals: [{channel: left, at: 1 kHz, level: 0 dB, thd: -100 dB, noise: -110 dB}]\n";
    assertThat(problems(limits(GUARDED, thd), all)).isEmpty();
    String hv = "  - {result: hv, high: 340 V}\n";
    assertThat(problems(limits(GUARDED, hv), all))
        .singleElement()
        .asString()
        .contains("the limits of error of the meter");
  }

  @Test
  void whatHasNoUncertaintyCannotBeGuarded() {
    String polarity = "  - {result: polarity, low: \"1\"}\n";
    assertThat(problems(limits(GUARDED, polarity), LEVELS))
        .singleElement()
        .asString()
        .contains("which cannot be guarded: a yes or no", "or no limit for it");
  }

  @Test
  void aPhaseNeedsThatOfThePathWithItsUncertainty() {
    String phase =
        "  - {result: phase, mask: [{at: 20 Hz, low: \"-90 deg\"}, {at: 20 kHz, low: \"-90 deg\"}]}\n";
    assertThat(problems(limits(GUARDED, phase), LEVELS))
        .singleElement()
        .asString()
        .contains("the phase of the path with its uncertainty (phase-u)");
    String told = LEVELS.replace("phase: 0 deg", "phase: 0 deg, phase-u: 0.1 deg");
    assertThat(problems(limits(GUARDED, phase), told)).isEmpty();
  }

  private static List<String> ofImpedances(String limit, String settings, String calibration) {
    Plan plan =
        YamlReader.read(
                "p.yaml",
                SmallFiles.PLAN.replace(
                    "shut-down:",
                    "  - {step: z, power: 1 W, conditions: {channel: left, tap: 8 ohm}, "
                        + settings
                        + "}\nshut-down:"))
            .flatMap(source -> PlanReader.read(source, Path.of("p.yaml")))
            .value();
    Bench bench =
        BENCH.standing(
            Standing.calibrated(
                Calibration.read(
                        "c.yaml",
                        "bench: bench of fakes\ndate: 2026-11-26\n" + LEVELS + calibration)
                    .value()));
    return GuardedOnBench.check(limits(GUARDED, limit), plan, bench).stream()
        .map(Problem::toString)
        .toList();
  }

  private static final String OWN_LOAD =
      "resistors:\n  - {route: left 8 ohm tap, resistance: 8 ohm, u: 1 mohm}\n";

  @Test
  void anOutputImpedanceNeedsBothItsLoads() {
    String limit = "  - {result: damping factor at 1 kHz, low: \"8\"}\n";
    String step = "procedure: output-impedance, second-load: left other load";
    assertThat(ofImpedances(limit, step, OWN_LOAD))
        .singleElement()
        .asString()
        .contains("the resistance of the route that is exchanged in the calibration", "step z");
    String both = OWN_LOAD + "  - {route: left other load, resistance: 2 ohm, u: 1 mohm}\n";
    assertThat(ofImpedances(limit, step, both)).isEmpty();
  }

  @Test
  void anInputImpedanceNeedsItsResistorAndHowFarTheSourceIsOff() {
    String limit = "  - {result: input impedance at 1 kHz, low: 40 kohm}\n";
    String step =
        "procedure: input-impedance, through-resistor: \"{channel} other load\", resistor: 47 kohm";
    String sure = step + ", source-within: 1 ohm";
    String resistor = "resistors: [{route: left other load, resistance: 47 kohm, u: 1 ohm}]\n";
    assertThat(ofImpedances(limit, sure, OWN_LOAD))
        .singleElement()
        .asString()
        .contains("the resistance of the route that is exchanged in the calibration", "step z");
    assertThat(ofImpedances(limit, step, resistor))
        .singleElement()
        .asString()
        .contains("which needs source-within in the step, for step z");
    assertThat(ofImpedances(limit, sure, resistor)).isEmpty();
  }

  @Test
  void timesNeedTheLimitsOfErrorOfTheirMeter() {
    String time = "  - {result: discharge time constant, high: 20 s}\n";
    assertThat(problems(limits(GUARDED, time), LEVELS))
        .singleElement()
        .asString()
        .contains("the limits of error of the meter");
  }
}
