package kitproof.procedure;

import static kitproof.procedure.FormulaBench.curve;
import static kitproof.procedure.FormulaBench.number;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.assertj.core.api.Assertions.withinPercentage;

import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Random;
import java.util.function.UnaryOperator;
import kitproof.calibration.Calibration;
import kitproof.driver.Answer;
import kitproof.driver.InstrumentException;
import kitproof.driver.Question;
import kitproof.driver.Reading;
import kitproof.uncertainty.Budget;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/**
 * What calibrations find of a bench whose errors are known in closed form, and what is made of it;
 * checks are {@link StationChecksTest}'s.
 */
class CalibrationProceduresTest {
  static final String OHMMETER =
      "meter: meter, limits: \"±(0.05 % + 3 digits)\", resolution: 1 mohm";

  private final FormulaBench bench = new FormulaBench();

  private static double standard(Measurement of) {
    Uncertainty uncertainty = Objects.requireNonNull(of.uncertainty());
    return uncertainty.above(0);
  }

  private static Measurement named(List<Measurement> all, String name) {
    return all.stream().filter(m -> m.name().equals(name)).findFirst().orElseThrow();
  }

  static Calibration calibration(String more) {
    return Calibration.read("c.yaml", "bench: b\ndate: 2026-11-26\n" + more).value();
  }

  @Test
  void aResistanceByTwoWiresIsLessItsLeads() throws Exception {
    bench.meter.function(
        "resistance", Unit.OHM, () -> bench.rerouted.size() == 1 ? 0.181 : 8.031 + 0.181);
    List<Measurement> all =
        bench.all(
            "calibrate-resistance",
            "{" + OHMMETER + ", routes: [left 8 ohm tap], leads-together: leads together}");
    assertThat(bench.rerouted).containsExactly("leads together", "left 8 ohm tap");
    Measurement found = all.get(0);
    assertThat(found.title()).contains("route left 8 ohm tap");
    assertThat(number(found.figure())).isCloseTo(8.031, within(1e-9));
    // By hand: a = 0.05 % of 8.212 ohm and 3 mohm together, and the last digit twice, all
    // rectangular.
    double limits = (0.0005 * 8.212 + 0.003) / Math.sqrt(3);
    double digit = 0.0005 / Math.sqrt(3);
    assertThat(standard(found))
        .isCloseTo(Math.sqrt(limits * limits + 2 * digit * digit), within(1e-6));
  }

  @Test
  void withFourWiresNothingIsTakenOut() throws Exception {
    bench.meter.function("resistance", Unit.OHM, () -> 8.031);
    Measurement found =
        bench
            .all("calibrate-resistance", "{" + OHMMETER + ", routes: [tap], contact: 20 mohm}")
            .get(0);
    assertThat(number(found.figure())).isCloseTo(8.031, within(1e-9));
    assertThat(standard(found)).isGreaterThan(0.02 / Math.sqrt(3));
  }

  @Test
  void thePersonIsAskedForTheLeadsAndMayDecline() throws Exception {
    bench.meter.function(
        "resistance", Unit.OHM, () -> bench.operator.asked.size() == 1 ? 0.2 : 47_000.2);
    String settings = "{" + OHMMETER + ", routes: [through 47 kohm], leads-by-hand: true}";
    bench.operator.answers.add(new Answer.Done());
    bench.operator.answers.add(new Answer.Done());
    Measurement found = bench.all("calibrate-resistance", settings).get(0);
    assertThat(number(found.figure())).isCloseTo(47_000, within(1e-6));
    assertThat(bench.operator.asked)
        .extracting(q -> ((Question.Confirm) q).text())
        .containsExactly(
            "Put the leads of meter together", "Put the leads of meter on \"through 47 kohm\"");
    bench.operator.answers.add(new Answer.Declined("no leads here"));
    assertThatThrownBy(() -> bench.all("calibrate-resistance", settings))
        .isInstanceOf(InstrumentException.class)
        .hasMessageContaining("no leads here");
  }

  @Test
  void leadsThatAreOnNothingAreToldAndNoResistanceIsMadeUp() {
    bench.meter.readings("resistance", Unit.OHM, new Reading.Overload(false));
    assertThatThrownBy(() -> bench.all("calibrate-resistance", "{" + OHMMETER + ", routes: [tap]}"))
        .hasMessageContaining("Are they on it, the unit off the bench");
  }

  @Test
  void theRatioOfARangeComesFromTheToneAlone() throws Exception {
    bench.ranges.add(new StepBench.InputRange("rest", Quantity.of(20, Unit.VOLT)));
    bench.ranges.add(new StepBench.InputRange("more", Quantity.of(20 / 4.03, Unit.VOLT)));
    bench.left = noisy(1, 1e-5);
    bench.meter.function("ac", Unit.VOLT, () -> 5.1);
    List<Measurement> all =
        bench.all(
            "calibrate-levels",
            "{meter: meter, function: ac, limits: ±1 %, resolution: 1 mV, ranges: [rest, more]}");
    Measurement ratio = named(all, "input attenuation");
    assertThat(number(ratio.figure())).isCloseTo(1 / 4.03, within(4 * standard(ratio)));
    assertThat(standard(ratio)).as("without the meter's 1 %%").isLessThan(1e-6);
  }

  static UnaryOperator<double[]> noisy(double gain, double rms) {
    Random random = new Random(17);
    return FormulaBench.curve(x -> gain * x + rms * random.nextGaussian());
  }

  @Test
  void aCaptureAtFullScaleIsNoCalibration() {
    bench.inputPeak = 5; // of the 10 V that the output makes of 0 dB
    for (String[] step :
        new String[][] {
          {"calibrate-path", "{}"},
          {"calibrate-leakage", "{to: right, frequencies: [1 kHz]}"},
          {"calibrate-residual", "{frequencies: [1 kHz], levels: [-1 dB]}"},
          {"check-loop", "{level: -1 dB}"}
        }) {
      assertThatThrownBy(() -> bench.all(step[0], step[1]))
          .as(step[0])
          .isInstanceOf(InstrumentException.class)
          .hasMessageContaining("the capture reached full scale: choose a lower level");
    }
  }

  @Test
  void leakageUnderTheNoiseOfOneCaptureIsFound() throws Exception {
    bench.leak = 3e-5;
    bench.right = noisy(1, 1e-3);
    List<Measurement> all =
        bench.all("calibrate-leakage", "{to: right, frequencies: [1 kHz, 10 kHz], repeats: 8}");
    assertThat(all).hasSize(2);
    for (Measurement found : all) {
      double error = number(found.figure()) - 20 * Math.log10(3e-5);
      assertThat(error).as(found.title()).isCloseTo(0, within(3 * standard(found)));
      assertThat(standard(found)).isLessThan(3);
    }
  }

  @Test
  void theResidualOfACubicIsThatOfTheHandbook() throws Exception {
    // x + c·x³ of a sine of peak A holds c·A³/4 as third harmonic and A + 3·c·A³/4 as first.
    double c = 1e-5;
    bench.left = FormulaBench.curve(x -> x + c * x * x * x);
    List<Measurement> all =
        bench.all("calibrate-residual", "{frequencies: [1 kHz], levels: [0 dB, -20 dB]}");
    for (double[] at : new double[][] {{0, 10}, {1, 1}}) {
      double peak = at[1];
      List<Measurement> point = all.subList(4 * (int) at[0], 4 * (int) at[0] + 4);
      double first = peak + 0.75 * c * peak * peak * peak;
      double third = 0.25 * c * peak * peak * peak;
      assertThat(number(named(point, "residual distortion").figure()))
          .isCloseTo(20 * Math.log10(third / first), within(0.01));
      assertThat(number(named(point, "residual level").figure()))
          .isCloseTo(20 * Math.log10(first / 100), within(1e-3));
    }
  }

  /** A first-order high-pass by the bilinear transform. */
  private double[] coupled(double[] samples, double corner) {
    double k = Math.tan(Math.PI * corner / bench.sampleRate);
    double[] out = new double[samples.length];
    double x1 = 0;
    double y1 = 0;
    for (int i = 0; i < samples.length; i++) {
      y1 = (samples[i] - x1 - (k - 1) * y1) / (1 + k);
      x1 = samples[i];
      out[i] = y1;
    }
    return out;
  }

  @Test
  void thePathIsFlatToOneHertzWhereItIsAndFoundWhereItIsNot() throws Exception {
    bench.left = samples -> coupled(samples, 0.7);
    Map<String, Figure> found = bench.measure("calibrate-path", "{duration: 3 s, repeats: 3}");
    Uncertainty known = Objects.requireNonNull(named(bench.measured, "path level").uncertainty());
    Curve level = curve(found.get("path level"));
    Curve phase = curve(found.get("path phase"));
    assertThat(level.x(0)).isEqualTo(1);
    assertThat(level.x(level.size() - 1)).as("to the interface's limit").isGreaterThan(22_000);
    double reference = coupledDb(997);
    for (int i = 0; i < level.size(); i++) {
      double hertz = level.x(i);
      assertThat(level.y(i))
          .as("%s Hz", hertz)
          .isCloseTo(coupledDb(hertz) - reference, within(4 * known.above(i)));
      assertThat(known.above(i)).isLessThan(hertz < 2 ? 0.05 : 0.01);
      if (hertz < 20) {
        double turned = Math.toDegrees(Math.atan(ratio(hertz)));
        assertThat(phase.y(i)).as("%s Hz", hertz).isCloseTo(turned, within(0.05));
      }
    }
  }

  @Test
  void theBudgetOfThePathIsThatOfThePointThatIsKnownLeast() throws Exception {
    UnaryOperator<double[]> hiss = noisy(1, 1e-4);
    bench.left = samples -> hiss.apply(coupled(samples, 0.7));
    List<Measurement> all = bench.all("calibrate-path", "{duration: 3 s, repeats: 3}");
    for (String name : List.of("path level", "path phase")) {
      Uncertainty known = Objects.requireNonNull(named(all, name).uncertainty());
      int least = 0;
      for (int i = 0; i < known.size(); i++) {
        least = known.above(i) > known.above(least) ? i : least;
      }
      Budget budget = Budget.of(known.budget());
      assertThat(known.budget()).as(name).hasSize(2).allMatch(line -> line.standard() > 0);
      assertThat(budget.standard()).isCloseTo(known.above(least), withinPercentage(1e-6));
      assertThat(budget.uncertainty().degreesOfFreedom(0))
          .isCloseTo(known.degreesOfFreedom(least), withinPercentage(1e-6));
      // Three repeats, of seven neighbours at once.
      assertThat(known.budget().get(0).degreesOfFreedom()).isCloseTo(2 * 7, within(1e-6));
    }
  }

  private double ratio(double hertz) {
    return Math.tan(Math.PI * 0.7 / bench.sampleRate)
        / Math.tan(Math.PI * hertz / bench.sampleRate);
  }

  private double coupledDb(double hertz) {
    return -10 * Math.log10(1 + ratio(hertz) * ratio(hertz));
  }

  @Test
  void theResistorBeforeTheInputIsTheCalibratedOne() throws Exception {
    double input = 100e3;
    double resistor = 46.2e3;
    bench.left = FormulaBench.curve(x -> 20 * x * input / (input + 100));
    bench.otherLeft = FormulaBench.curve(x -> 20 * x * input / (input + 100 + resistor));
    bench.calibration =
        calibration(
            "resistors: [{route: inputs through 47 kohm, resistance: 46.2 kohm, u: 9 ohm}]\n");
    Map<String, Figure> found = bench.measure("input-impedance", ImpedanceProceduresTest.INPUT);
    assertThat(number(found.get("input impedance at 1 kHz"))).isCloseTo(input, within(50.0));
  }

  @Test
  void crosstalkNearTheStationsOwnLeakageSaysSo() throws Exception {
    bench.left = noisy(20, 1e-6);
    bench.right = noisy(20, 1e-6);
    bench.leak = 1e-4;
    bench.conditions = Conditions.of("channel", "both");
    bench.calibration =
        calibration("leakages: [{from: left, to: right, at: 1 kHz, level: -85 dB}]\n");
    List<Measurement> all = bench.all("crosstalk", "{power: 1 W, sweep: 1 s}");
    assertThat(all)
        .filteredOn(m -> m.note().contains("whose own leakage is -85.0 dB"))
        .singleElement()
        .satisfies(m -> assertThat(m.title()).contains("crosstalk at 1 kHz", "right"));
    bench.calibration =
        calibration("leakages: [{from: left, to: right, at: 1 kHz, level: -95 dB}]\n");
    assertThat(bench.all("crosstalk", "{power: 1 W, sweep: 1 s}"))
        .noneMatch(m -> m.note().contains("own leakage"));
  }

  @Test
  void theCurveOfCrosstalkSaysWhereTheStationsOwnLeakageLimitsIt() throws Exception {
    bench.left = noisy(20, 1e-6);
    bench.right = noisy(20, 1e-6);
    bench.leak = 1e-4; // -80 dB at every frequency
    bench.conditions = Conditions.of("channel", "both");
    bench.calibration =
        calibration(
            "leakages: [{from: left, to: right, at: 1 kHz, level: -95 dB},"
                + " {from: left, to: right, at: 10 kHz, level: -95 dB},"
                + " {from: left, to: right, at: 15 kHz, level: -85 dB}]\n");
    List<Measurement> all = bench.all("crosstalk", "{power: 1 W, sweep: 1 s}");
    Measurement curve =
        all.stream()
            .filter(m -> m.name().equals("crosstalk") && m.title().contains("right"))
            .findFirst()
            .orElseThrow();
    // The higher of two neighbours counts: every point above 10 kHz, and the figure at 1 kHz not.
    double[] hz = curve(curve.figure()).xs();
    long above = Arrays.stream(hz).filter(x -> x > 10e3).count();
    assertThat(above).isBetween(10L, 13L);
    // What its uncertainty lacks on this bench is said before, and stays.
    assertThat(curve.note())
        .startsWith("its uncertainty is not known, for want of ")
        .contains(
            "; limited by the station's own leakage at "
                + above
                + " of "
                + hz.length
                + " points, the last at ");
    assertThat(all).filteredOn(m -> m.note().contains("own leakage")).containsExactly(curve);
  }
}
