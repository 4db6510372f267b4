package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Random;
import kitproof.calibration.Calibration;
import kitproof.uncertainty.Budget;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
import kitproof.value.Contribution.Distribution;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** Expected values by the law of propagation for products (JCGM 100:2008, 5.1.6). */
class FactorTest {
  private static Factor volts(String name, double relative) {
    return Factor.of(Contribution.known(name, Distribution.NORMAL, 2 * relative, Unit.VOLT), 2);
  }

  private static double standard(Budgeted of) {
    return Budget.of(of.lines()).standard();
  }

  @Test
  void relativeUncertaintiesOfAProductAddAsSquaresByTheirPowers() {
    Factor power = volts("v", 0.01).power(2).over(volts("r", 0.03));
    assertThat(standard(power.figure(5, Unit.WATT)))
        .isCloseTo(5 * Math.hypot(0.02, 0.03), within(1e-12));
    assertThat(standard(power.figure(-40, Unit.DECIBEL)))
        .isCloseTo(20 / Math.log(10) * Math.hypot(0.02, 0.03), within(1e-12));
  }

  @Test
  void whatStandsInBothPartsOfARatioCancels() {
    Factor ratio =
        volts("full scale", 0.05).times(volts("a", 0.01)).over(volts("full scale", 0.05));
    assertThat(ratio.lines()).extracting(Contribution::name).containsExactly("a");
  }

  @Test
  void theSameQuantityTwiceCountsAsOne() {
    Factor square = volts("v", 0.01).times(volts("v", 0.01));
    assertThat(standard(square.figure(1, Unit.ONE))).isCloseTo(0.02, within(1e-12));
  }

  @Test
  void aOneSidedPartOfADivisorCountsOnTheOtherSide() {
    Factor low =
        Factor.decibels(
            Contribution.within("part", Distribution.RECTANGULAR, 0.3, Unit.DECIBEL)
                .on(Contribution.Side.BELOW));
    Budget budget = Budget.of(Factor.EXACT.over(low).figure(0, Unit.DECIBEL).lines());
    assertThat(budget.standard(Contribution.Side.ABOVE))
        .isCloseTo(0.3 / Math.sqrt(3), within(1e-12));
    assertThat(budget.standard(Contribution.Side.BELOW)).isZero();
  }

  @Test
  void aFigureThatLacksSomethingHasNoUncertaintyAndSaysWhat() {
    Measurement gain =
        Measurement.of("gain", Conditions.NONE, Quantity.of(20, Unit.DECIBEL)).noted("seen");
    Measurement found =
        Budgeted.on(
            gain,
            value ->
                volts("v", 0.01)
                    .times(Factor.lacking("the load"))
                    .times(Factor.lacking("the load"))
                    .figure(value.value(), value.unit()));
    assertThat(found.uncertainty()).isNull();
    assertThat(found.note()).isEqualTo("seen; its uncertainty is not known, for want of the load");
  }

  /** 0.02 % per kelvin and 10 K make ±0.2 % of the load: u is 0.2 %/√3, in half the exponent. */
  @Test
  void theTemperatureOfTheRoomCountsWhereTheLoadSaysHowMuch() throws Exception {
    FormulaBench bench = new FormulaBench();
    bench.left = FormulaBench.curve(x -> 10 * x);
    bench.perKelvin = Quantity.of(0.02, Unit.PERCENT);
    bench.calibration =
        Calibration.read(
                "c.yaml",
                """
                bench: formula
                date: 2026-11-26
                room-temperature: 22 °C
                outputs: [{channel: left, full-scale: 7.0710678 V, u: 0 V}]
                inputs: [{channel: left, full-scale: 70.710678 V, u: 0 V}]
                resistors: [{route: load, resistance: 8 ohm, u: 0 ohm}]
                residuals: [{channel: left, at: 1 kHz, level: 0 dB, thd: -100 dB, noise: -110 dB}]
                paths:
                  - channel: left
                    points:
                      - {at: 1 Hz, level: 0 dB, u: 0 dB, phase: 0 deg}
                      - {at: 24 kHz, level: 0 dB, u: 0 dB, phase: 0 deg}
                """)
            .value();
    String plan = "{rated: 10 W, listen: 1 s, band: 20 Hz..10 kHz}";
    assertThat(bench.all("noise", plan).get(5).note()).contains("want of the room temperature");
    bench.earlier.add(
        Measurement.of("room temperature", Conditions.NONE, Quantity.of(32, Unit.CELSIUS)));
    bench.left =
        samples -> {
          Random random = new Random(1);
          double[] noise = samples.clone();
          java.util.Arrays.setAll(noise, i -> 1e-3 * random.nextGaussian());
          return noise;
        };
    Measurement ratio = bench.all("noise", plan).get(5);
    Contribution warmth =
        ratio.uncertainty().budget().stream()
            .filter(line -> line.name().equals("temperature of load"))
            .findFirst()
            .orElseThrow();
    assertThat(warmth.effect())
        .isCloseTo(20 / Math.log(10) * 0.5 * 0.002 / Math.sqrt(3), within(1e-9));
  }

  @Test
  void aCurveKeepsTheBudgetOfItsLeastKnownPoint() {
    Measurement curve =
        Measurement.of(
            "r",
            Conditions.NONE,
            kitproof.value.Curve.of(
                Unit.HERTZ, new double[] {1, 2, 3}, Unit.DECIBEL, new double[] {0, 0, 0}));
    Measurement found =
        Budgeted.onCurve(
            curve,
            i ->
                Budgeted.of(
                    List.of(
                        Contribution.known(
                            "line " + i,
                            Distribution.NORMAL,
                            i == 1 ? 0.123456 : 0.1,
                            Unit.DECIBEL))));
    assertThat(found.uncertainty()).isNotNull();
    assertThat(found.uncertainty().above(1)).isEqualTo(0.123);
    assertThat(found.uncertainty().budget())
        .extracting(Contribution::name)
        .containsExactly("line 1");
  }
}
