package kitproof.driver.simulated.unit;

import static kitproof.driver.simulated.unit.Bed.LEFT;
import static kitproof.driver.simulated.unit.Bed.RIGHT;
import static kitproof.driver.simulated.unit.Bed.decibels;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import kitproof.driver.simulated.unit.Output.Tap;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;

/** A healthy unit does what circuit theory and the trade say. */
class AmplifierTest {
  private final Bed bed = Bed.warm("LN12-001", null);

  @Nested
  class Audio {
    @Test
    void givesItsRatedPowerAtItsInputSensitivity() {
      for (int channel : new int[] {LEFT, RIGHT}) {
        double volts = bed.harmonics(channel, 0.45)[1];
        assertThat(volts * volts / 8).isBetween(11.0, 13.0);
        assertThat(bed.gain(channel, 1000)).isCloseTo(27, within(0.5));
      }
    }

    @Test
    void tapVoltagesGoWithTheTurnsWhichGoWithTheRootOfTheImpedance() {
      double eight = bed.gain(LEFT, 1000);
      bed.tap(Tap.FOUR);
      double four = bed.gain(LEFT, 1000);
      bed.tap(Tap.SIXTEEN);
      double sixteen = bed.gain(LEFT, 1000);
      // An ideal transformer: 10·lg 2 each. Turns have a tolerance of 0.2 %.
      assertThat(eight - four).isCloseTo(10 * Math.log10(2), within(0.06));
      assertThat(sixteen - eight).isCloseTo(10 * Math.log10(2), within(0.06));
    }

    @Test
    void outputImpedanceIsAboutAnOhmAndHalfAsMuchOnTheFourOhmTap() {
      // Z = R1·R2·(V2 − V1)/(V1·R2 − V2·R1), as for any linear source; half: common practice.
      double eight = impedance(Tap.EIGHT);
      double four = impedance(Tap.FOUR);
      assertThat(eight).isBetween(0.7, 1.4);
      assertThat(four / eight).isCloseTo(0.5, within(0.02));
    }

    private double impedance(Tap tap) {
      bed.tap(tap);
      double r1 = bed.load;
      double v1 = bed.line(bed.tone(LEFT, 1000, 0.1, 0.3), 1000, 0.1);
      bed.load = 2 * r1;
      bed.connect();
      double v2 = bed.line(bed.tone(LEFT, 1000, 0.1, 0.3), 1000, 0.1);
      return r1 * 2 * r1 * (v2 - v1) / (v1 * 2 * r1 - v2 * r1);
    }

    @Test
    void triodeGivesLessGainAndHalfThePower() {
      double ultralinear = power(0.55);
      double gain = bed.gain(LEFT, 1000);
      bed.triode = true;
      bed.connect();
      assertThat(gain - bed.gain(LEFT, 1000)).isBetween(0.5, 2.0);
      // Less power in triode connection: common practice, no source.
      assertThat(power(0.55) / ultralinear).isBetween(0.4, 0.6);
    }

    private double power(double volts) {
      double out = bed.harmonics(LEFT, volts)[1];
      return out * out / 8;
    }

    @Test
    void thirdHarmonicDominatesInABalancedPairAndGrowsWithTheLevel() {
      double[] small = bed.harmonics(LEFT, 0.127);
      double[] large = bed.harmonics(LEFT, 0.42);
      // Even orders cancel in a balanced push-pull stage: common practice, no source.
      assertThat(small[3]).isGreaterThan(small[2]);
      assertThat(large[3]).isGreaterThan(3 * large[2]);
      assertThat(small[0]).isBetween(3e-4, 3e-3);
      assertThat(large[0]).isBetween(5e-3, 2e-2);
    }

    @Test
    void clipsABitAboveRatedPower() {
      assertThat(bed.harmonics(LEFT, 0.6)[0]).isGreaterThan(0.03);
      assertThat(bed.harmonics(LEFT, 2)[0]).isGreaterThan(0.2);
    }

    @Test
    void isOneDecibelDownNearFifteenHertzAndThirtyFiveKilohertz() {
      double middle = bed.gain(LEFT, 1000);
      assertThat(bed.gain(LEFT, 8) - middle).isLessThan(-1);
      assertThat(bed.gain(LEFT, 25) - middle).isGreaterThan(-1);
      assertThat(bed.gain(LEFT, 27_000) - middle).isGreaterThan(-1);
      assertThat(bed.gain(LEFT, 40_000) - middle).isLessThan(-1);
    }

    @Test
    void loadsTheSourceWithItsInputResistance() {
      double straight = bed.gain(LEFT, 1000);
      bed.series = 47_000;
      bed.connect();
      double q = Math.pow(10, (bed.gain(LEFT, 1000) - straight) / 20);
      // Z = Rs·q/(1 − q) − Rg; the reactances at 1 kHz are small against 100 kilohms.
      assertThat(47_000 * q / (1 - q) - 100).isCloseTo(100_000, within(6_000.0));
    }

    @Test
    void distortsMoreInTheBassWhereTheCoreSaturates() {
      double low = thirdAt(20, 0.42);
      double middle = thirdAt(100, 0.42);
      assertThat(low).isGreaterThan(middle * 1.2);
    }

    private double thirdAt(double hertz, double volts) {
      double[] samples = bed.tone(LEFT, hertz, volts, 1);
      return bed.line(samples, 3 * hertz, 0.5) / bed.line(samples, hertz, 0.5);
    }

    @Test
    void channelsAreApartBySixtyDecibels() {
      double[] tone = new double[28_800];
      for (int i = 0; i < tone.length; i++) {
        tone[i] = 0.4 * Math.sin(2 * Math.PI * i / 96);
      }
      double[][] out = bed.play(tone, new double[tone.length]);
      double apart = decibels(bed.line(out[1], 1000, 0.1) / bed.line(out[0], 1000, 0.1));
      assertThat(apart).isBetween(-65.0, -55.0);
    }

    @Test
    void undrivenGivesNoiseAndHumOnly() {
      double[] silence = bed.silence(LEFT);
      assertThat(decibels(silence[0])).isBetween(-90.0, -70.0);
      assertThat(decibels(silence[1])).isBetween(-110.0, -75.0);
    }

    @Test
    void withoutMainsNothingComesOut() {
      Bed cold = new Bed(12, "LN12-001", null);
      double[] out = cold.tone(LEFT, 1000, 1, 0.1);
      assertThat(Arrays.stream(out).map(Math::abs).max().orElseThrow()).isLessThan(1e-9);
    }
  }

  @Nested
  class Solution {
    @Test
    void doesNotDependOnTheSampleRate() {
      double[] gains = new double[4];
      double[] thirds = new double[4];
      double[] highs = new double[4];
      double[] rates = {44_100, 48_000, 96_000, 192_000};
      for (int i = 0; i < rates.length; i++) {
        bed.rate = rates[i];
        double[] lines = bed.harmonics(LEFT, 0.3);
        gains[i] = decibels(lines[1]);
        thirds[i] = decibels(lines[3]);
        highs[i] = bed.gain(LEFT, 15_000);
      }
      for (int i = 0; i < rates.length; i++) {
        assertThat(gains[i]).as(rates[i] + " Hz").isCloseTo(gains[2], within(0.01));
        assertThat(thirds[i]).as(rates[i] + " Hz").isCloseTo(thirds[2], within(0.1));
        assertThat(highs[i]).as(rates[i] + " Hz").isCloseTo(highs[2], within(0.05));
      }
    }

    @Test
    void staysBoundedAndComesToRestAfterFullScaleSquareWavesOnEveryLoad() {
      double[] square = new double[9_600];
      for (int i = 0; i < 4_800; i++) {
        square[i] = i / 5 % 2 == 0 ? 2.83 : -2.83;
      }
      for (double load : new double[] {2, 8, Double.POSITIVE_INFINITY}) {
        for (double capacitance : new double[] {0, 100e-9, 2e-6}) {
          bed.load = load;
          bed.capacitance = capacitance;
          bed.connect();
          double[] out = bed.play(square, square)[0];
          String where = load + " ohm, " + capacitance + " F";
          assertThat(Arrays.stream(out).map(Math::abs).max().orElseThrow())
              .as(where)
              .isBetween(1.0, 45.0);
          double end = 0;
          for (int i = 9_000; i < 9_600; i++) {
            end = Math.max(end, Math.abs(out[i] - out[i - 1]));
          }
          assertThat(end).as(where + ": still ringing").isLessThan(0.01);
        }
      }
    }

    @Test
    void aSampleOfTheCaptureIsTheSameInstantAsThatOfTheStimulus() {
      double[] out = bed.tone(LEFT, 1000, 0.1, 0.3);
      int from = 19_200;
      double re = 0;
      double im = 0;
      for (int i = 0; i < 9_600; i++) {
        re += out[from + i] * Math.sin(2 * Math.PI * i / 96);
        im += out[from + i] * Math.cos(2 * Math.PI * i / 96);
      }
      // First-order corners of 9 Hz below and some 50 kHz above leave about half a degree.
      assertThat(Math.toDegrees(Math.atan2(im, re))).isCloseTo(0, within(1.5));
    }

    @Test
    void theSameSeedAndSerialAreTheSameUnitAndOthersAreNot() {
      assertThat(Kit.build(12, "LN12-004", null)).isEqualTo(Kit.build(12, "LN12-004", null));
      assertThat(Kit.build(12, "LN12-004", null)).isNotEqualTo(Kit.build(12, "LN12-007", null));
      assertThat(Kit.build(12, "LN12-004", null)).isNotEqualTo(Kit.build(13, "LN12-004", null));
      Bed one = new Bed(5, "LN12-004", null);
      Bed two = new Bed(5, "LN12-004", null);
      for (Bed each : new Bed[] {one, two}) {
        each.mains = true;
        each.connect();
        each.pass(20);
      }
      double[] first = one.tone(LEFT, 1000, 0.2, 0.05);
      assertThat(two.tone(LEFT, 1000, 0.2, 0.05)).isEqualTo(first);
      assertThat(Arrays.stream(first).map(Math::abs).max().orElseThrow()).isGreaterThan(1);
    }

    @Test
    void theTimeGoesOnTheSameInOneLeapOrInSteps() {
      Bed leap = new Bed(12, "LN12-001", null);
      Bed steps = new Bed(12, "LN12-001", null);
      leap.mains = true;
      steps.mains = true;
      leap.connect();
      steps.connect();
      leap.pass(20);
      for (int i = 0; i < 2_000; i++) {
        steps.pass(0.01);
      }
      assertThat(steps.rail()).isCloseTo(leap.rail(), within(0.05));
    }
  }

  @Nested
  class Power {
    @Test
    void theInputIsAFirstOrderHighPass() {
      ChannelParts parts = Kit.build(12, "LN12-001", null).left();
      double seconds = 1 / 384e3;
      double corner =
          1 / (2 * Math.PI * parts.inputCapacitance() * (parts.inputResistance() + 100));
      for (double hertz : new double[] {corner / 2, corner, 3 * corner, 200}) {
        InputStage input = new InputStage(parts);
        input.prepare(seconds, 100);
        double peak = 0;
        int cycles = (int) Math.round((1 + 20 / hertz) / seconds);
        for (int i = 0; i < cycles; i++) {
          double v = input.step(Math.sin(2 * Math.PI * hertz * i * seconds));
          peak = i > cycles / 2 ? Math.max(peak, Math.abs(v)) : 0;
        }
        double divider = parts.inputResistance() / (parts.inputResistance() + 100);
        double wanted = divider / Math.sqrt(1 + Math.pow(corner / hertz, 2));
        assertThat(peak).as(hertz + " Hz").isCloseTo(wanted, within(wanted * 2e-3));
      }
    }

    @Test
    void warmsUpInAboutFifteenSecondsFromAPeakThatColdValvesLeave() {
      Bed cold = new Bed(12, "LN12-001", null);
      cold.mains = true;
      cold.connect();
      cold.pass(4);
      double peak = cold.rail();
      assertThat(peak).isGreaterThan(350);
      assertThat(cold.cathodes().values()).allSatisfy(v -> assertThat(v).isLessThan(0.5));
      cold.pass(11);
      assertThat(cold.rail()).isCloseTo(bed.rail(), within(5.0));
      assertThat(bed.rail()).isBetween(325.0, 340.0);
      assertThat(bed.power()).isBetween(65.0, 85.0);
      assertThat(bed.cathodes().values()).allSatisfy(v -> assertThat(v).isBetween(8.0, 9.5));
      // Within the 12 W that makers allow a 6V6GT's anode (makers' data, design centre, from
      // memory).
      assertThat((bed.rail() - 8.6) * 8.6 / 270).isLessThan(12);
    }

    @Test
    void biasDriftsLittleOnceWarm() {
      double early = bed.cathodes().get(Connections.Probe.CATHODE_V3);
      bed.pass(240);
      assertThat(bed.cathodes().get(Connections.Probe.CATHODE_V3))
          .isCloseTo(early, within(0.02 * early));
    }

    @Test
    void theLimiterLowersRailAndHeaters() {
      Bed limited = new Bed(12, "LN12-001", null);
      limited.mains = true;
      limited.bypass = false;
      limited.connect();
      limited.pass(30);
      assertThat(limited.rail()).isBetween(255.0, 300.0);
      assertThat(limited.power()).isBetween(50.0, 75.0);
    }

    @Test
    void dischargesOverValvesFirstAndThenWithTheTimeConstantOfBleederAndCapacitors() {
      SupplyParts parts = Kit.build(12, "LN12-001", null).supply();
      double audio = bed.rail();
      bed.mains = false;
      bed.connect();
      bed.pass(10);
      double early = bed.rail();
      bed.pass(20 - 0.06);
      double late = bed.rail();
      double tau =
          parts.bleeder() * (parts.reservoir() + parts.smoothing() + parts.preampCapacitance());
      assertThat(early).isLessThan(audio / 2);
      assertThat(20 / Math.log(early / late)).isCloseTo(tau, within(tau * 0.05));
      bed.pass(20);
      assertThat(bed.rail()).isLessThan(60);
    }

    @Test
    void drivingWithoutALoadIsRememberedAndSilenceIsNot() {
      bed.load = Double.POSITIVE_INFINITY;
      bed.connect();
      bed.tone(LEFT, 1000, 0, 0.05);
      assertThat(bed.unit.flybacks()).isZero();
      bed.tone(LEFT, 1000, 0.1, 0.05);
      assertThat(bed.unit.flybacks()).isEqualTo(1);
    }

    @Test
    void aLoadThatFallsOffInTheMiddleOfADriveIsRemembered() {
      double[] tone = new double[9_600];
      Arrays.fill(tone, 0.01);
      Playback playback = bed.unit.play(bed.rate, tone, new double[tone.length]);
      bed.pass(0.05);
      assertThat(playback.finished()).isFalse();
      bed.load = Double.POSITIVE_INFINITY;
      bed.connect();
      bed.pass(0.06);
      assertThat(playback.finished()).isTrue();
      assertThat(bed.unit.flybacks()).isEqualTo(1);
    }
  }
}
