package kitproof.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Curve;
import kitproof.value.Location;
import kitproof.value.Measurement;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

class CalibrationTextTest {
  private static final CalibrationText.Origin ORIGIN =
      new CalibrationText.Origin(
          "bench \"one\"",
          LocalDate.of(2026, 11, 26),
          LocalDate.of(2027, 11, 26),
          "A. Person",
          "run-1",
          Map.of("hv-meter", "Maker Model 18"));

  private static final Conditions LEFT = Conditions.of("channel", "left");
  private static final Conditions RANGE = LEFT.with("range", "range 5 V");

  private static final Conditions POINT = RANGE.with("frequency", "1 kHz").with("output", "-1 dB");

  private static Measurement of(String name, Conditions conditions, double value, Unit unit) {
    return Measurement.of(name, conditions, Quantity.of(value, unit))
        .with(Uncertainty.of(1e-3, 2e-3, 7.9, List.of()));
  }

  private static Measurement curve(String name, Unit unit, double... values) {
    double[] hertz = {10, 1e3};
    return Measurement.of(name, RANGE, Curve.of(Unit.HERTZ, hertz, unit, values))
        .with(
            Uncertainty.of(
                new double[] {0.1, 0.2}, new double[] {0.1, 0.2}, new double[] {9, 9}, List.of()));
  }

  private static List<Measurement> found() {
    return new ArrayList<>(
        List.of(
            of("output full scale", LEFT, 2.0189, Unit.VOLT),
            of("input full scale", RANGE, 4.9983, Unit.VOLT),
            curve("path level", Unit.DECIBEL, -0.25, 0.0),
            curve("path phase", Unit.DEGREE, 8.5, 0.0),
            of("path delay", LEFT, 5.8e-7, Unit.SECOND),
            of("input attenuation", RANGE, 0.2481, Unit.ONE),
            Measurement.of("room temperature", Conditions.NONE, Quantity.of(22.5, Unit.CELSIUS)),
            of("leakage", LEFT.with("to", "right").with("frequency", "10 kHz"), -92, Unit.DECIBEL),
            of("residual level", POINT, -1.1, Unit.DECIBEL),
            of("residual distortion", POINT, -101, Unit.DECIBEL),
            of("residual noise", POINT, -104, Unit.DECIBEL),
            of("residual thd+n", POINT, -98, Unit.DECIBEL),
            of("resistance as connected", Conditions.of("route", "tap"), 8.03, Unit.OHM),
            of("gain", LEFT, 26, Unit.DECIBEL)));
  }

  @Test
  void whatIsWrittenIsWhatWasFound() {
    String text = CalibrationText.of("s.json", ORIGIN, found(), Optional.empty());
    Calibration read = Calibration.read("c.yaml", text).value();
    assertThat(text).startsWith("# yaml-language-server: $schema=s.json\n");
    assertThat(read.bench().value()).isEqualTo("bench \"one\"");
    assertThat(read.due()).hasValue(LocalDate.of(2027, 11, 26));
    assertThat(read.record()).isEqualTo("run-1");
    assertThat(read.output("audio", "left"))
        .hasValue(new Known(Quantity.of(2.0189, Unit.VOLT), 2e-3, 7));
    assertThat(read.input("audio", "left", "range 5 V"))
        .hasValueSatisfying(known -> assertThat(known.value().value()).isEqualTo(4.9983));
    PathResponse path = read.path("audio", "left", "range 5 V").orElseThrow();
    assertThat(path.level(10)).isEqualTo(-0.25);
    assertThat(path.phase(10)).isCloseTo(8.5, within(1e-12));
    assertThat(path.standard(1000)).isEqualTo(0.2);
    assertThat(path.degreesOfFreedom(1000)).isEqualTo(9);
    assertThat(path.phaseStandard(10)).isEqualTo(0.1);
    assertThat(path.phaseDegreesOfFreedom(10)).isEqualTo(9);
    assertThat(read.delay("audio", "left"))
        .hasValueSatisfying(known -> assertThat(known.value().value()).isEqualTo(5.8e-7));
    assertThat(read.attenuation("audio", "left", "range 5 V"))
        .hasValueSatisfying(known -> assertThat(known.value().value()).isEqualTo(0.2481));
    assertThat(read.leakage("audio", "left", "right", 1000))
        .hasValue(new Known(Quantity.of(-92, Unit.DECIBEL), 2e-3, 7));
    assertThat(read.leakage("audio", "right", "left", 1000)).isEmpty();
    assertThat(read.resistance("tap"))
        .hasValueSatisfying(known -> assertThat(known.standard()).isEqualTo(2e-3));
    assertThat(text)
        .contains("room-temperature: 22.5 °C\n")
        .contains(
            "at: 1000 Hz, level: -1.1 dB, thd: -101 dB, thd-u: 0.002 dB, thd-dof: 7, noise: -104 dB,"
                + " noise-u: 0.002 dB, noise-dof: 7, thd-plus-noise: -98 dB, u: 0.002 dB, dof: 7}");
    assertThat(read.exchanged(Map.of("hv-meter", "Maker Model 18"))).isEmpty();
    assertThat(read.exchanged(Map.of("hv-meter", "another"))).hasSize(1);
  }

  private static CalibrationText.Origin by(String meter) {
    return by(meter, Entered.NOTHING);
  }

  private static CalibrationText.Origin by(String meter, Entered entered) {
    return new CalibrationText.Origin(
        "bench one",
        LocalDate.of(2026, 11, 26),
        null,
        "",
        "run-1",
        Map.of("hv-meter", meter),
        entered);
  }

  @Test
  void certificatesOfTheFileBeforeAreKept() {
    Calibration before = Calibration.read("c.yaml", CalibrationTest.GOOD).value();
    CalibrationText.Origin same = by("Maker Model 17");
    String text = CalibrationText.of("s.json", same, found(), Optional.of(before));
    assertThat(CalibrationText.dropped(before, same.identities())).isEmpty();
    Calibration read = Calibration.read("c.yaml", text).value();
    assertThat(read.expired(LocalDate.of(2027, 3, 1))).hasSize(1);
    assertThat(read.meter("hv-meter", "hv", Quantity.parse("300 V")))
        .isEqualTo(before.meter("hv-meter", "hv", Quantity.parse("300 V")));
  }

  @Test
  void anExchangedInstrumentInheritsNothingFromTheOneBefore() {
    String corrected =
        CalibrationTest.GOOD.replace(
            "  wattmeter: {}\n",
            "    corrections: [{function: hv, gain: 1.01}]\n  wattmeter: {}\n");
    Calibration before = Calibration.read("c.yaml", corrected).value();
    assertThat(before.correction("hv-meter", "hv")).isPresent();
    String text = CalibrationText.of("s.json", by("Maker Model 18"), found(), Optional.of(before));
    Calibration read = Calibration.read("c.yaml", text).value();
    assertThat(read.certificates()).isEmpty();
    assertThat(read.expired(LocalDate.of(2099, 1, 1))).isEmpty();
    assertThat(read.meter("hv-meter", "hv", Quantity.parse("300 V"))).isEmpty();
    assertThat(read.correction("hv-meter", "hv")).isEmpty();
    assertThat(CalibrationText.dropped(before, Map.of("hv-meter", "Maker Model 18")))
        .containsExactly(
            "certificate C-1, limits of error, corrections of hv-meter, \"Maker Model 17\":"
                + " \"Maker Model 18\" stands there now");
    assertThat(CalibrationText.dropped(before, Map.of()))
        .singleElement()
        .asString()
        .endsWith("\"Maker Model 17\": it was not there");
  }

  @Test
  void aCertificateThatIsEnteredStandsInThePlaceOfTheOneBefore() {
    Calibration before = Calibration.read("c.yaml", CalibrationTest.GOOD).value();
    CalibrationText.Origin origin =
        by(
            "Maker Model 17",
            new Entered(
                List.of(
                    new Entered.Certificate(
                        "hv-meter",
                        "C-2",
                        LocalDate.of(2026, 11, 1),
                        LocalDate.of(2027, 10, 31),
                        "A Laboratory")),
                List.of(
                    new Entered.Accuracy(
                        "hv-meter",
                        "ripple",
                        "±(1 % + 5 digits)",
                        Quantity.of(1e-3, Unit.VOLT),
                        null))));
    String text = CalibrationText.of("s.json", origin, found(), Optional.of(before));
    assertThat(text).contains("C-2").doesNotContain("C-1");
    Calibration read = Calibration.read("c.yaml", text).value();
    assertThat(read.firstDue()).hasValue(LocalDate.of(2027, 10, 31));
    assertThat(read.meter("hv-meter", "hv", Quantity.parse("300 V"))).isPresent();
    // What is entered of one function stands beside what the file before says of another.
    Contribution ripple = read.meter("hv-meter", "ripple", Quantity.parse("0.4 V")).orElseThrow();
    assertThat(ripple.standard()).isCloseTo((0.004 + 0.005) / Math.sqrt(3), within(1e-12));
  }

  @Test
  void limitsThatAreEnteredReplaceThoseOfTheSameFunctionAndAreRefusedWhereTheyMeanNothing() {
    Entered.Accuracy better = new Entered.Accuracy("hv-meter", "hv", "±0.1 %", null, null);
    CalibrationText.Origin origin = by("Maker Model 17", new Entered(List.of(), List.of(better)));
    Calibration before = Calibration.read("c.yaml", CalibrationTest.GOOD).value();
    String text = CalibrationText.of("s.json", origin, found(), Optional.of(before));
    Calibration read = Calibration.read("c.yaml", text).value();
    assertThat(read.meter("hv-meter", "hv", Quantity.parse("300 V")).orElseThrow().standard())
        .isCloseTo(0.3 / Math.sqrt(3), within(1e-12));

    Location place = Location.of("--accuracy");
    assertThat(origin.entered().problems(place)).isEmpty();
    Entered wrong =
        new Entered(
            List.of(
                new Entered.Certificate(
                    "hv-meter",
                    "C-3",
                    LocalDate.of(2026, 11, 1),
                    LocalDate.of(2026, 10, 31),
                    "A Laboratory")),
            List.of(
                new Entered.Accuracy("hv-meter", "hv", "±(0.05 % + 3 digits)", null, null),
                new Entered.Accuracy("hv-meter", "hv", "about a volt", null, null)));
    assertThat(wrong.problems(place))
        .extracting(Problem::found)
        .containsExactly(
            "a certificate of hv-meter that is due on 2026-10-31",
            "digits without a resolution",
            "limits: \"about a volt\"");
  }

  @Test
  void anExpiredCertificateIsNotTakenOverAndTheCalibrationsOwnDueDoesNotCount() {
    Optional<Calibration> before =
        Optional.of(Calibration.read("c.yaml", CalibrationTest.GOOD).value());
    Location place = Location.of("bench.yaml");
    LocalDate last = LocalDate.of(2027, 2, 28);
    assertThat(Calibration.expiredCertificates(before, Entered.NOTHING, last, place)).isEmpty();
    LocalDate after = last.plusDays(1);
    assertThat(Calibration.expiredCertificates(before, Entered.NOTHING, after, place))
        .singleElement()
        .satisfies(
            problem -> {
              assertThat(problem.found())
                  .isEqualTo("certificate C-1 of hv-meter, which was due on 2027-02-28");
              assertThat(problem.expected()).startsWith("a new one by --certificate");
            });
    assertThat(Calibration.expiredCertificates(before, entered(after), after, place))
        .as("the calibration itself was due on 2027-05-26")
        .isEmpty();
    LocalDate later = after.plusDays(365);
    assertThat(Calibration.expiredCertificates(before, entered(later), later, place)).isEmpty();
    assertThat(Calibration.expiredCertificates(Optional.empty(), entered(last), after, place))
        .extracting(Problem::found)
        .containsExactly("certificate C-2 of hv-meter, which was due on 2027-02-28");
  }

  private static Entered entered(LocalDate due) {
    return new Entered(
        List.of(
            new Entered.Certificate(
                "hv-meter", "C-2", LocalDate.of(2026, 1, 1), due, "A Laboratory")),
        List.of());
  }

  @Test
  void whatCouldNotBeMeasuredIsNotWritten() {
    List<Measurement> broken = found();
    broken.set(0, Measurement.invalid("output full scale", LEFT, "no tone"));
    assertThatThrownBy(() -> CalibrationText.of("s", ORIGIN, broken, Optional.empty()))
        .hasMessage("output full scale (channel left) could not be measured");
    List<Measurement> unknown = found();
    unknown.set(0, Measurement.of("output full scale", LEFT, Quantity.of(2, Unit.VOLT)));
    assertThatThrownBy(() -> CalibrationText.of("s", ORIGIN, unknown, Optional.empty()))
        .hasMessageContaining("without its uncertainty");
    assertThatThrownBy(() -> CalibrationText.of("s", ORIGIN, List.of(), Optional.empty()))
        .hasMessageContaining("no result of a calibration");
  }
}
