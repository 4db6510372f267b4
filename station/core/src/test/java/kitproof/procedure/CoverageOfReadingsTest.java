package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.Random;
import kitproof.driver.Reading;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** Readings of meters, and times that are read off them. See {@link DrawnBench}. */
class CoverageOfReadingsTest {
  @Test
  void directVoltsHoldTheirTruth() throws Exception {
    Random random = new Random(7);
    DrawnBench.Tally held = new DrawnBench.Tally("direct volts");
    double truth = 330;
    int draws = 400;
    for (int d = 0; d < draws; d++) {
      FormulaBench bench =
          DrawnBench.of(
              "instruments: {meter: {accuracy: [{function: hv, limits: \"±(0.03 % + 1 digit)\","
                  + " resolution: 0.1 V}]}}\n");
      double limit = 0.0003 * truth + 0.1;
      double error = limit * (2 * random.nextDouble() - 1);
      Reading[] readings = new Reading[5];
      for (int i = 0; i < readings.length; i++) {
        double volts = truth + error + 0.25 * random.nextGaussian();
        readings[i] = new Reading.Value(Quantity.of(Math.rint(volts * 10) / 10, Unit.VOLT));
      }
      bench.readings(readings[0], Arrays.copyOfRange(readings, 1, 5));
      var unused =
          bench.measure("reading", "{meter: meter, function: hv, result: hv rail, count: 5}");
      held.add(bench.measured.get(0), truth);
    }
    held.isAsStated();
  }

  private static final String METER =
      "instruments: {meter: {accuracy: [{function: hv, limits: \"±(0.2 % + 2 digits)\","
          + " resolution: 0.1 V}]}}\n";

  private static double limit(double volts) {
    return 0.002 * Math.abs(volts) + 0.2;
  }

  private static double shown(double volts) {
    return Math.rint(volts * 10) / 10;
  }

  /** A meter that is off by one thing where the rail is high and by another where it is low. */
  @Test
  void timesOfADischargeHoldTheirTruth() throws Exception {
    Random random = new Random(41);
    DrawnBench.Tally constant = new DrawnBench.Tally("discharge time constant");
    DrawnBench.Tally touchable = new DrawnBench.Tally("discharge time to 60 V");
    DrawnBench.Tally safe = new DrawnBench.Tally("discharge time to safe");
    double start = 330;
    for (int d = 0; d < 200; d++) {
      FormulaBench bench = DrawnBench.of(METER);
      double tau = 2 + random.nextDouble();
      double high = 2 * random.nextDouble() - 1;
      double low = 2 * random.nextDouble() - 1;
      bench.rail(
          start,
          t -> {
            double volts = start * Math.exp(-t / tau);
            double place = Math.max(0, Math.log(volts * 50 / start) / Math.log(50));
            double off = limit(volts) * (high * place + low * (1 - place));
            return shown(volts + off + 0.15 * random.nextGaussian());
          });
      var unused =
          bench.measure("discharge", "{meter: meter, function: hv, safe: 12 V, every: 100 ms}");
      constant.add(DrawnBench.named(bench, "discharge time constant"), tau);
      touchable.add(DrawnBench.named(bench, "discharge time to 60 V"), tau * Math.log(start / 60));
      safe.add(DrawnBench.named(bench, "discharge time to safe"), tau * Math.log(start / 12));
    }
    constant.isAtLeastAsStated();
    touchable.isAtLeastAsStated();
    safe.isAtLeastAsStated();
  }

  @Test
  void aDriftHoldsItsTruth() throws Exception {
    Random random = new Random(42);
    DrawnBench.Tally slope = new DrawnBench.Tally("drift per minute");
    DrawnBench.Tally change = new DrawnBench.Tally("drift change");
    for (int d = 0; d < 200; d++) {
      FormulaBench bench = DrawnBench.of(METER);
      double perSecond = 0.2 * random.nextDouble();
      double gain = 1 + 0.002 * (2 * random.nextDouble() - 1);
      Reading[] readings = new Reading[41];
      for (int i = 0; i < readings.length; i++) {
        double volts = 300 + perSecond * i * 0.5;
        readings[i] =
            new Reading.Value(
                Quantity.of(shown(gain * volts + 0.2 * random.nextGaussian()), Unit.VOLT));
      }
      bench.readings(readings[0], Arrays.copyOfRange(readings, 1, readings.length));
      var unused =
          bench.measure(
              "drift", "{meter: meter, function: hv, result: drift, unit: V, soak: 20 s}");
      slope.add(DrawnBench.named(bench, "drift per minute"), perSecond * 60);
      change.add(DrawnBench.named(bench, "drift change"), perSecond * 18.5); // 4 of 41 at each end
    }
    slope.isAsStated();
    change.isAsStated();
  }

  /** When a rise is within a part of its end, which is between two readings. */
  @Test
  void aTimeToSettleHoldsItsTruth() throws Exception {
    Random random = new Random(43);
    DrawnBench.Tally held = new DrawnBench.Tally("supply rise time to settle");
    for (int d = 0; d < 200; d++) {
      FormulaBench bench = DrawnBench.of(METER);
      double tau = 0.5 + 0.2 * random.nextDouble();
      double gain = 1 + 0.002 * (2 * random.nextDouble() - 1);
      bench.rail(
          0, t -> shown(gain * 330 * (1 - Math.exp(-t / tau)) + 0.3 * random.nextGaussian()));
      var unused =
          bench.measure(
              "supply-rise",
              "{meter: meter, function: hv, watch: 10 s, every: 100 ms, settled-within: 3 %}");
      Measurement found = DrawnBench.named(bench, "supply rise time to settle");
      held.add(found, tau * Math.log(1 / 0.03));
      assertThat(found.uncertainty().above(0)).isLessThan(0.05);
    }
    held.isAtLeastAsStated();
  }

  /** The truth is what a meter finds that reads without end, scatter and error. */
  @Test
  void aTimeOfWarmUpHoldsItsTruth() throws Exception {
    Random random = new Random(44);
    DrawnBench.Tally held = new DrawnBench.Tally("warm-up time");
    for (int d = 0; d < 30; d++) {
      double tau = 3 + 2 * random.nextDouble();
      double truth = warm(tau, 0, 50, random).quantity().value();
      FormulaBench bench = warmed(tau, 0.05, 500, random);
      held.add(DrawnBench.named(bench, "warm-up time"), truth);
    }
    held.isAtLeastAsStated();
  }

  private static Figure.OfQuantity warm(double tau, double scatter, int every, Random random)
      throws Exception {
    FormulaBench bench = warmed(tau, scatter, every, random);
    return (Figure.OfQuantity) DrawnBench.named(bench, "warm-up time").figure();
  }

  private static FormulaBench warmed(double tau, double scatter, int every, Random random)
      throws Exception {
    FormulaBench bench = DrawnBench.of(METER);
    bench.meter.function(
        "hv",
        Unit.VOLT,
        () -> {
          double t = bench.elapsed().toNanos() / 1e9;
          double volts = 300 * (1 - Math.exp(-t / tau)) + scatter * random.nextGaussian();
          return scatter == 0 ? volts : shown(volts);
        });
    var unused =
        bench.measure(
            "warm-up",
            "{meter: meter, function: hv, window: 4 s, at-least: 1 s, every: %d ms}"
                .formatted(every));
    return bench;
  }
}
