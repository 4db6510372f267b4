package kitproof.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.networknt.schema.InputFormat;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import kitproof.document.Located;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class CalibrationTest {
  static final String GOOD =
      """
      bench: bench one
      date: 2026-11-26
      due: 2027-05-26
      by: A. Person
      room-temperature: 22.5 °C
      instruments:
        hv-meter:
          identity: Maker Model 17
          certificate: {number: C-1, date: 2026-03-01, due: 2027-02-28, by: A Laboratory}
          accuracy:
            - {function: hv, limits: "±(0.5 % + 3 digits)", resolution: 0.1 V}
            - {function: current, limits: "±(1 % of reading + 0.1 % of range)", range: 10 A}
        wattmeter: {}
      outputs:
        - {channel: left, full-scale: 2.013 V, u: 0.8 mV, dof: 12}
        - {channel: right, full-scale: 1.991 V, u: 0.8 mV}
      inputs:
        - {channel: left, range: range 20 V, full-scale: 20.2 V, u: 9 mV}
        - {channel: left, range: range 5 V, full-scale: 5.03 V, u: 3 mV}
      paths:
        - channel: left
          range: range 20 V
          points:
            - {at: 10 Hz, level: -0.2 dB, u: 0.01 dB, phase: 4 deg}
            - {at: 1 kHz, level: 0 dB, u: 0.001 dB, phase: 0 deg}
            - {at: 40 kHz, level: -0.4 dB, u: 0.02 dB, phase: -6 deg}
      residuals:
        - {channel: left, range: range 20 V, at: 1 kHz, level: -1 dB, thd: -100 dB, noise: -105 dB}
      resistors:
        - {route: left 8 ohm tap, resistance: 8.031 ohm, u: 4 mohm, dof: 9}
      leakages:
        - {from: left, to: right, at: 1 kHz, level: -95 dB}
      delays:
        - {channel: left, delay: 1.25 ms, u: 20 ns}
      """;

  private static Calibration good() {
    return Calibration.read("c.yaml", GOOD).value();
  }

  @Test
  void whatStandsInTheFileIsFound() {
    Calibration calibration = good();
    assertThat(calibration.output("audio", "left"))
        .hasValue(new Known(Quantity.of(2.013, Unit.VOLT), 0.8e-3, 12));
    assertThat(calibration.output("audio", "right"))
        .hasValueSatisfying(k -> assertThat(k.degreesOfFreedom()).isInfinite());
    assertThat(calibration.input("audio", "left", "range 5 V"))
        .hasValueSatisfying(k -> assertThat(k.value().value()).isEqualTo(5.03));
    assertThat(calibration.input("audio", "left", null)).isEmpty();
    assertThat(calibration.input("audio", "right", "range 5 V")).isEmpty();
    assertThat(calibration.output("other", "left")).isEmpty();
    assertThat(calibration.resistance("left 8 ohm tap"))
        .hasValueSatisfying(k -> assertThat(k.standard()).isEqualTo(4e-3));
    assertThat(calibration.delay("audio", "left"))
        .hasValueSatisfying(k -> assertThat(k.value().value()).isEqualTo(1.25e-3));
    assertThat(calibration.bench().value()).isEqualTo("bench one");
    assertThat(calibration.roles().stream().map(Located::value))
        .containsExactly("hv-meter", "wattmeter", "audio");
    assertThat(calibration.routes().stream().map(Located::value))
        .containsExactly("left 8 ohm tap", "range 20 V", "range 5 V");
  }

  @Test
  void aMetersLimitsOfErrorBecomeALineOfTheBudget() {
    Calibration calibration = good();
    assertThat(calibration.meter("hv-meter", "hv", Quantity.parse("300 V")))
        .hasValueSatisfying(
            line -> {
              assertThat(line.standard()).isCloseTo(1.8 / Math.sqrt(3), within(1e-9));
              assertThat(line.name()).contains("hv-meter");
            });
    assertThat(calibration.meter("hv-meter", "current", Quantity.parse("2 A")))
        .hasValueSatisfying(
            line -> assertThat(line.standard()).isCloseTo(0.03 / Math.sqrt(3), within(1e-9)));
    assertThat(calibration.meter("hv-meter", "hv", Quantity.parse("2 A"))).isEmpty();
    assertThat(calibration.meter("hv-meter", "ripple", Quantity.parse("2 V"))).isEmpty();
    assertThat(calibration.meter("wattmeter", "power", Quantity.parse("2 W"))).isEmpty();
  }

  @Test
  void responsesAreInterpolatedOnALogarithmicAxisAndHeldBeyondTheirEnds() {
    PathResponse path = good().path("audio", "left", "range 20 V").orElseThrow();
    assertThat(path.level(10)).isEqualTo(-0.2);
    assertThat(path.level(100)).isCloseTo(-0.1, within(1e-12)); // half-way from 10 Hz to 1 kHz
    assertThat(path.phase(100)).isCloseTo(2, within(1e-12));
    assertThat(path.standard(100)).isCloseTo(0.0055, within(1e-12));
    assertThat(path.level(Math.sqrt(1e3 * 40e3))).isCloseTo(-0.2, within(1e-12));
    assertThat(path.level(0)).isEqualTo(-0.2);
    assertThat(path.corner()).isCloseTo(10 * Math.tan(Math.toRadians(4)), within(1e-12));
    assertThat(path.remainingPhase(40))
        .isCloseTo(path.phase(40) - Math.toDegrees(Math.atan(path.corner() / 40)), within(1e-12));
    assertThat(path.remainingLevel(5)).isZero();
    assertThat(path.corrected(0)).isZero();
    assertThat(path.corrected(10)).isZero();
    assertThat(path.corrected(20)).isCloseTo(0.5, within(1e-12));
    assertThat(path.corrected(40)).isCloseTo(1, within(1e-12));
    assertThat(path.corrected(40e3)).isEqualTo(1);
    assertThat(path.level(1e6)).isEqualTo(-0.4);
    assertThat(path.covers(10.1)).isTrue();
    assertThat(path.covers(9.9)).isFalse();
    assertThat(path.covers(41e3)).isFalse();
    assertThat(good().path("audio", "right", "range 20 V")).isEmpty();
  }

  @Test
  void itHoldsToTheEndOfItsLastDay() {
    Calibration calibration = good();
    assertThat(calibration.expired(LocalDate.of(2027, 2, 28))).isEmpty();
    assertThat(texts(calibration.expired(LocalDate.of(2027, 3, 1))))
        .containsExactly(
            "c.yaml:9:55: found certificate C-1 of hv-meter, which was due on 2027-02-28; expected"
                + " a new one, as it is 2027-03-01");
    assertThat(texts(calibration.expired(LocalDate.of(2027, 5, 27))))
        .hasSize(2)
        .contains(
            "c.yaml:3:6: found a calibration that was due on 2027-05-26; expected a new one, as it"
                + " is 2027-05-27");
    assertThat(calibration.firstDue()).hasValue(LocalDate.of(2027, 2, 28));
  }

  @Test
  void anotherInstrumentDoesNotFit() {
    assertThat(good().exchanged(Map.of("hv-meter", "Maker Model 17", "wattmeter", "x"))).isEmpty();
    assertThat(texts(good().exchanged(Map.of("hv-meter", "Maker Model 18"))))
        .containsExactly(
            "c.yaml:8:5: found hv-meter calibrated as \"Maker Model 17\"; expected \"Maker Model"
                + " 18\", which stands there now");
  }

  @Test
  void itLiesBesideItsBench() {
    assertThat(Calibration.beside(Path.of("shop", "bench-1.yaml")))
        .isEqualTo(Path.of("shop", "bench-1.calibration.yaml"));
    assertThat(Calibration.beside(Path.of("b.yml"))).isEqualTo(Path.of("b.calibration.yaml"));
  }

  private static List<String> texts(List<Problem> problems) {
    return problems.stream().map(Problem::toString).toList();
  }

  private static List<?> schemaErrors(String yaml) {
    return SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
        .getSchema(Calibration.schema())
        .validate(yaml, InputFormat.YAML);
  }

  @Test
  void aGoodFileIsValid() {
    assertThat(schemaErrors(GOOD)).isEmpty();
  }

  /** Refused by schema and reader, so that the two agree. */
  @ParameterizedTest(name = "{0} for {1}")
  @CsvSource(
      delimiter = '|',
      value = {
        "date: 26.11.2026|date: 2026-11-26",
        "due: soon|due: 2027-05-26",
        "benches: x|bench: bench one",
        "full-scale: 2.013|full-scale: 2.013 V",
        "full-scale: 2.013 ohm|full-scale: 2.013 V",
        "{chanel: left, full-scale: 2.013|{channel: left, full-scale: 2.013",
        "u: 4|u: 4 mohm",
        "dof: many|dof: 12",
        "at: 10 s|at: 10 Hz",
        "phase: 4|phase: 4 deg",
      })
  void aFileThatIsWrongInStructureIsRefused(String wrong, String right) {
    assertThat(GOOD).contains(right);
    String broken = GOOD.replaceFirst(java.util.regex.Pattern.quote(right), wrong);
    assertThat(schemaErrors(broken)).isNotEmpty();
    assertThat(Calibration.read("c.yaml", broken).problems()).isNotEmpty();
  }

  @ParameterizedTest(name = "{0} for {1}")
  @CsvSource(
      delimiter = '|',
      value = {
        "due: 2026-02-28|due: 2027-05-26|3:6: found due: 2026-02-28; expected a day not before",
        "due: 2025-02-28|due: 2027-02-28|9:55: found due: 2025-02-28; expected a day not before",
        "3 dogits|3 digits|11:32: found limits: \"±(0.5 % + 3 dogits)\"; expected limits of error",
        "x|, resolution: 0.1 V|11:32: found digits without a resolution",
        "x|, range: 10 A|12:37: found a part of a range that is not given",
        "channel: left|channel: right|found a full scale of output audio left a second time",
        "range: range 20 V|range: range 5 V|a full scale of input audio left in range 20 V a"
            + " second",
        "at: 9 Hz|at: 1 kHz, level: 0 dB|expected points by rising frequency",
        "2026-02-30|2026-11-26|expected a day, such as 2027-05-31",
      })
  void whatCannotBeIsToldWithItsPlace(String wrong, String right, String message) {
    assertThat(GOOD).contains(right);
    String replacement = wrong.equals("x") ? "" : wrong;
    if (right.startsWith("at: 1 kHz")) {
      replacement = wrong + ", level: 0 dB";
    }
    String broken = GOOD.replaceFirst(java.util.regex.Pattern.quote(right), replacement);
    assertThat(texts(Calibration.read("c.yaml", broken).problems()))
        .anySatisfy(text -> assertThat(text).contains(message));
  }

  /** JCGM 100:2008, 5.1.6: relative variances of a product add; G.2b for its degrees of freedom. */
  @Test
  void aRangeWithoutAFullScaleHasThatAtRestTimesTheRatio() {
    Calibration read =
        Calibration.read(
                "c.yaml",
                """
                bench: b
                date: 2026-11-26
                inputs: [{channel: left, range: at rest, full-scale: 20 V, u: 20 mV, dof: 10}]
                attenuators: [{channel: left, range: low, ratio: 0.25, u: 0.001, dof: 5}]
                """)
            .value();
    Known low = read.input("audio", "left", "low").orElseThrow();
    assertThat(low.value()).isEqualTo(Quantity.of(5, kitproof.value.Unit.VOLT));
    assertThat(low.standard()).isCloseTo(5 * Math.hypot(0.001, 0.004), within(1e-12));
    double whole = Math.pow(Math.hypot(0.001, 0.004), 4);
    assertThat(low.degreesOfFreedom())
        .isCloseTo(whole / (Math.pow(0.001, 4) / 10 + Math.pow(0.004, 4) / 5), within(1e-6));
    assertThat(read.input("audio", "right", "low")).isEmpty();
    assertThat(read.input("audio", "left", "another")).isEmpty();
  }
}
