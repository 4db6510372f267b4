package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import kitproof.calibration.Calibration;
import kitproof.calibration.Standing;
import kitproof.document.YamlReader;
import kitproof.plan.Bench;
import kitproof.plan.BenchReader;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;

class CalibrationOnBenchTest {
  private static final String BENCH =
      """
      bench: b
      roles:
        relays:
          driver: d
          kind: switcher
          routes:
            range 20 V: {group: range, purpose: range, full-scale: 20 V}
            range 5 V: {group: range, purpose: range, full-scale: 5 V, relays: [K1]}
            tap: {group: load, purpose: load, load: 8 ohm}
        audio: {driver: d, kind: audio-interface}
      """;

  private static final Bench REAL = bench(BENCH);

  private static Bench bench(String text) {
    return YamlReader.read("b.yaml", text).flatMap(BenchReader::read).value();
  }

  private static Calibration calibration(String more) {
    return Calibration.read("c.yaml", "bench: b\ndate: 2026-11-26\n" + more).value();
  }

  private static List<String> problems(String more, Bench bench) {
    return CalibrationOnBench.check(calibration(more), bench).stream()
        .map(Problem::toString)
        .toList();
  }

  @Test
  void whatFitsHasNoProblem() {
    String fits =
        """
        due: 2027-11-26
        inputs:
          - {channel: left, range: range 20 V, full-scale: 20 V, u: 1 mV}
          - {channel: left, range: range 5 V, full-scale: 5 V, u: 1 mV}
        resistors: [{route: tap, resistance: 8.1 ohm, u: 1 mohm}]
        """;
    assertThat(problems(fits, REAL)).isEmpty();
  }

  @Test
  void aRealBenchNeedsADayOfExpiryAndASimulatedOneDoesNot() {
    assertThat(problems("", REAL)).singleElement().asString().contains("never expires");
    assertThat(problems("", bench("time: simulated\n" + BENCH))).isEmpty();
  }

  @Test
  void namesMustBeThoseOfTheBench() {
    String other =
        """
        due: 2027-11-26
        outputs: [{role: adio, channel: left, full-scale: 2 V, u: 1 mV}]
        resistors: [{route: tab, resistance: 8.1 ohm, u: 1 mohm}]
        """;
    assertThat(problems(other, REAL))
        .hasSize(2)
        .anySatisfy(p -> assertThat(p).contains("did you mean \"audio\""))
        .anySatisfy(p -> assertThat(p).contains("did you mean \"tap\""));
    assertThat(problems("due: 2027-11-26\n", bench(BENCH.replace("bench: b", "bench: c"))))
        .containsExactly("c.yaml:1:8: found bench \"b\"; expected \"c\"");
  }

  @Test
  void anInputIsCalibratedInEveryRangeOrInNone() {
    assertThat(
            problems(
                """
                due: 2027-11-26
                inputs: [{channel: left, range: range 20 V, full-scale: 20 V, u: 1 mV}]
                """,
                REAL))
        .singleElement()
        .asString()
        .contains("input left without range \"range 5 V\"");
    assertThat(
            problems(
                "due: 2027-11-26\ninputs: [{channel: left, full-scale: 20 V, u: 1 mV}]\n", REAL))
        .singleElement()
        .asString()
        .contains("a full scale of input left without its range");
  }

  @Test
  void loadsBecomeThoseThatWereCalibrated() {
    Bench calibrated =
        REAL.standing(
            Standing.calibrated(
                calibration("resistors: [{route: tap, resistance: 8.1 ohm, u: 1 mohm}]\n")));
    assertThat(calibrated.routes().stream().filter(r -> r.load() != null))
        .singleElement()
        .satisfies(r -> assertThat(r.load()).hasToString("8.1 ohm"));
    assertThat(calibrated.standing().told()).anyMatch(line -> line.contains("tap 8.1 ohm"));
    Bench fixed = bench("bench: b\nfixed-load: 8 ohm\nroles: {}\n");
    assertThat(
            fixed
                .standing(
                    Standing.calibrated(
                        calibration(
                            "resistors: [{route: fixed load, resistance: 7.9 ohm, u: 1 mohm}]\n")))
                .fixedLoad())
        .hasValueSatisfying(load -> assertThat(load).hasToString("7.9 ohm"));
  }
}
