package kitproof.driver.simulated.unit;

import static kitproof.driver.simulated.unit.Bed.LEFT;
import static kitproof.driver.simulated.unit.Bed.RIGHT;
import static kitproof.driver.simulated.unit.Bed.decibels;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import kitproof.driver.simulated.unit.Connections.Probe;
import kitproof.driver.simulated.unit.Output.Tap;
import org.junit.jupiter.api.Test;

/** Each fault shows where it should, beside the healthy unit of the same number. */
class FaultTest {
  private static final String SERIAL = "LN12-003";

  private final Bed healthy = Bed.warm(SERIAL, null);

  private static Bed faulty(Fault fault) {
    return Bed.warm(SERIAL, fault);
  }

  @Test
  void mismatchedValvesShowInCathodesAndSecondHarmonicOfTheLeftChannelOnly() {
    Bed bed = faulty(Fault.OUTPUT_VALVES_MISMATCHED);
    Map<Probe, Double> volts = bed.cathodes();
    assertThat(volts.get(Probe.CATHODE_V3) / volts.get(Probe.CATHODE_V4)).isGreaterThan(1.2);
    assertThat(volts.get(Probe.CATHODE_V5) / volts.get(Probe.CATHODE_V6))
        .isCloseTo(1, within(0.05));
    double[] left = bed.harmonics(LEFT, 0.285);
    double[] right = bed.harmonics(RIGHT, 0.285);
    double[] was = healthy.harmonics(LEFT, 0.285);
    assertThat(left[2]).isGreaterThan(left[3]).isGreaterThan(5 * was[2]);
    assertThat(right[2]).isLessThan(right[3]);
    assertThat(decibels(left[1] / was[1])).isCloseTo(0, within(0.3));
  }

  @Test
  void aLowSmoothingCapacitorShowsInRippleHumAndDischarge() {
    Bed bed = faulty(Fault.SMOOTHING_CAPACITOR_LOW);
    assertThat(bed.ripple()).isGreaterThan(4 * healthy.ripple());
    assertThat(bed.silence(LEFT)[1]).isGreaterThan(4 * healthy.silence(LEFT)[1]);
    assertThat(bed.rail()).isCloseTo(healthy.rail(), within(3.0));
    assertThat(bed.gain(LEFT, 1000)).isCloseTo(healthy.gain(LEFT, 1000), within(0.1));
    for (Bed each : new Bed[] {bed, healthy}) {
      each.mains = false;
      each.connect();
      each.pass(20);
    }
    assertThat(bed.rail()).isLessThan(healthy.rail() / 2);
  }

  @Test
  void exchangedTapsShowInTheGainOfTheLeftTaps() {
    Bed bed = faulty(Fault.TAPS_EXCHANGED);
    assertThat(bed.gain(LEFT, 1000) - healthy.gain(LEFT, 1000)).isLessThan(-2);
    assertThat(bed.gain(RIGHT, 1000)).isCloseTo(healthy.gain(RIGHT, 1000), within(0.05));
    bed.tap(Tap.FOUR);
    healthy.tap(Tap.FOUR);
    assertThat(bed.gain(LEFT, 1000) - healthy.gain(LEFT, 1000)).isGreaterThan(1.5);
    bed.tap(Tap.SIXTEEN);
    healthy.tap(Tap.SIXTEEN);
    assertThat(bed.gain(LEFT, 1000)).isCloseTo(healthy.gain(LEFT, 1000), within(0.05));
  }

  @Test
  void aFeedbackResistorOfTheWrongDecadeRaisesGainDistortionAndOutputImpedance() {
    Bed bed = faulty(Fault.FEEDBACK_RESISTOR_DECADE);
    double more = bed.gain(RIGHT, 1000) - healthy.gain(RIGHT, 1000);
    assertThat(more).isBetween(8.0, 12.0);
    assertThat(bed.gain(LEFT, 1000)).isCloseTo(healthy.gain(LEFT, 1000), within(0.05));
    // Feedback lowers distortion by about what it takes from the gain (H. S. Black 1934, from
    // memory); here the same output without most of it.
    double[] with = healthy.harmonics(RIGHT, 0.285);
    double[] without = bed.harmonics(RIGHT, 0.285 / Math.pow(10, more / 20));
    assertThat(decibels(without[1] / with[1])).isCloseTo(0, within(0.5));
    double worse = decibels(without[0] / with[0]);
    assertThat(worse).isCloseTo(more, within(3.0));
  }

  @Test
  void aShortedSmoothingCapacitorKeepsTheRailAtNothingAndTheLampsAglow() {
    Bed bed = new Bed(12, SERIAL, Fault.SMOOTHING_CAPACITOR_SHORTED);
    bed.mains = true;
    bed.bypass = false;
    bed.connect();
    bed.pass(5);
    assertThat(bed.rail()).isLessThan(2);
    assertThat(bed.unit.lampTemperature()).isGreaterThan(2000);
    assertThat(bed.power()).isGreaterThan(120);
  }

  @Test
  void aLeakingCouplingCapacitorRaisesItsValvesCathodeOverMinutes() {
    Bed bed = new Bed(12, SERIAL, Fault.COUPLING_CAPACITOR_LEAKS);
    bed.mains = true;
    bed.connect();
    bed.pass(16);
    double early = bed.cathodes().get(Probe.CATHODE_V5);
    bed.pass(104);
    Map<Probe, Double> late = bed.cathodes();
    Map<Probe, Double> was = healthy.cathodes();
    assertThat(early).isLessThan(was.get(Probe.CATHODE_V5) + 3);
    assertThat(late.get(Probe.CATHODE_V5)).isGreaterThan(early + 4);
    for (Probe other : new Probe[] {Probe.CATHODE_V3, Probe.CATHODE_V4, Probe.CATHODE_V6}) {
      assertThat(late.get(other)).isCloseTo(was.get(other), within(0.8));
    }
  }

  @Test
  void anOscillatingStageShowsAboveTheAudioBandOnly() {
    Bed bed = faulty(Fault.OSCILLATES);
    double[] out = bed.tone(LEFT, 1000, 0, 0.5);
    double best = 0;
    double at = 0;
    for (double hertz = 34_000; hertz <= 42_000; hertz += 10) {
      double volts = bed.line(out, hertz, 0.1);
      if (volts > best) {
        best = volts;
        at = hertz;
      }
    }
    assertThat(at).isCloseTo(38_000, within(1000.0));
    assertThat(best).isBetween(5e-3, 0.2);
    double[] left = bed.harmonics(LEFT, 0.127);
    double[] was = healthy.harmonics(LEFT, 0.127);
    assertThat(decibels(left[1] / was[1])).isCloseTo(0, within(0.05));
    assertThat(left[0]).isCloseTo(was[0], within(was[0] * 0.3));
    assertThat(bed.silence(RIGHT)[0]).isLessThan(2 * healthy.silence(RIGHT)[0]);
    bed.mains = false;
    bed.connect();
    bed.pass(20);
    assertThat(bed.silence(LEFT)[0]).isLessThan(1e-6);
  }
}
