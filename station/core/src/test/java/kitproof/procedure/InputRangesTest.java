package kitproof.procedure;

import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Random;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** The choice of the input range, and notes on figures that the station itself limits. */
class InputRangesTest {
  private final FormulaBench bench = new FormulaBench();

  @BeforeEach
  void threeRanges() {
    bench.inputPeak = 40 * Math.sqrt(2);
    for (String volts : new String[] {"40 V", "8 V", "2 V"}) {
      bench.ranges.add(new StepBench.InputRange("range " + volts, Quantity.parse(volts)));
    }
    bench.left = FormulaBench.curve(x -> 20 * x);
  }

  @Test
  void theMostSensitiveRangeThatTakesTheOutputIsChosenAndItsRatioTakenOut() throws Exception {
    assertThat(number(bench.measure("gain", "power: 1 W\n").get("gain")))
        .isCloseTo(20 * Math.log10(20), within(1e-6));
    assertThat(bench.selected).containsOnly("range 8 V"); // 2.83 V rms
    bench.selected.clear();
    bench.measure("gain", "power: 0.1 W\n"); // 0.894 V rms
    assertThat(bench.selected).containsOnly("range 2 V");
    bench.selected.clear();
    bench.measure("gain", "power: 20 W\n"); // 12.6 V rms
    assertThat(bench.selected).containsOnly("range 40 V");
  }

  @Test
  void moreThanExpectedIsTakenAgainInTheNextRangeAndOnlyTheLastMayClip() throws Exception {
    bench.left = FormulaBench.curve(x -> 20 * x + 9);
    assertThat(number(bench.measure("gain", "power: 1 W\n").get("gain")))
        .isCloseTo(26.02, within(0.01));
    assertThat(bench.selected).startsWith("range 8 V").endsWith("range 40 V");
    bench.left = FormulaBench.curve(x -> 20 * x + 60);
    assertThat(reason(bench.measure("gain", "power: 1 W\n").get("gain")))
        .isEqualTo("the capture reached full scale");
  }

  @Test
  void theClimbGoesThroughTheRanges() throws Exception {
    bench.measure("distortion-against-power", "{powers: 50 mW..40 W}");
    assertThat(bench.selected).containsSubsequence("range 2 V", "range 40 V");
  }

  @Test
  void aReadingThatIsTheStationsOwnSaysSoAndOneFarAboveItDoesNot() throws Exception {
    // The input's noise alone: -80 dB of 8 V is 0.8 mV, of 2.828 V that is 0.0283 %.
    bench.residual = new StationResidual(1e-6, 1e-4, 0);
    Random random = new Random(2);
    bench.left =
        FormulaBench.curve(
            x -> 20 * x + 0.8e-3 * Math.sqrt(24_000 / 19_980.0) * random.nextGaussian());
    bench.measure("distortion", "power: 1 W\n");
    assertThat(note("thd+n"))
        .isEqualTo("limited by the station, whose own residual is 0.028 % here");
    bench.left = FormulaBench.curve(x -> 20 * x + 0.5 * x * x);
    bench.measure("distortion", "power: 1 W\n");
    assertThat(note("thd+n")).isEmpty();
    assertThat(note("harmonic 2")).isEmpty();
  }

  @Test
  void silenceIsHeardInTheMostSensitiveRangeThatTakesIt() throws Exception {
    bench.left = samples -> mains(samples, 0.3);
    assertThat(number(bench.measure("hum", "lines: 2\n").get("hum 50 Hz")))
        .isCloseTo(20 * Math.log10(0.3), within(0.01));
    assertThat(bench.selected).containsOnly("range 2 V");
    bench.selected.clear();
    bench.left = samples -> mains(samples, 5);
    assertThat(number(bench.measure("noise", "rated: 10 W\n").get("noise")))
        .isLessThan(20 * Math.log10(5));
    assertThat(bench.selected).containsExactly("range 2 V", "range 8 V");
  }

  private static double[] mains(double[] samples, double volts) {
    double[] hum = new double[samples.length];
    for (int i = 0; i < hum.length; i++) {
      hum[i] = volts * Math.sqrt(2) * Math.sin(2 * Math.PI * 50 * i / 48_000);
    }
    return hum;
  }

  /** -80 dB of the 2 V of its range, 20 Hz to 20 kHz: what white noise of 0.2 mV there is. */
  @Test
  void noiseThatIsTheStationsOwnSaysSo() throws Exception {
    bench.residual = new StationResidual(0, 1e-4, 0);
    Random random = new Random(3);
    double perSample = 0.2e-3 * Math.sqrt(24_000 / 19_980.0);
    bench.left = FormulaBench.curve(x -> perSample * random.nextGaussian());
    assertThat(number(bench.all("noise", "rated: 10 W\n").get(0).figure()))
        .isCloseTo(20 * Math.log10(0.2e-3), within(0.2));
    List<Measurement> noise = bench.all("noise", "rated: 10 W\n");
    assertThat(noise.get(0).note())
        .isEqualTo("limited by the station, whose own noise is -74.0 dBV here");
    assertThat(noise).allSatisfy(m -> assertThat(m.note()).startsWith("limited by the station"));
    bench.left = FormulaBench.curve(x -> 10 * perSample * random.nextGaussian());
    assertThat(bench.all("noise", "rated: 10 W\n")).allSatisfy(m -> assertThat(m.note()).isEmpty());
  }

  @Test
  void theOutputsNoiseCountsWithTheUnitsGain() {
    StationResidual residual = new StationResidual(0, 0, 1e-5);
    var band = new kitproof.signal.Band(20, 20_000);
    assertThat(residual.thdPlusNoise(2, 20, 40, 2, band))
        .isCloseTo(1e-5 * 2 * 20 / 2, within(1e-12));
  }

  private String note(String name) {
    return bench.measured.stream()
        .filter(m -> m.name().equals(name))
        .map(Measurement::note)
        .findFirst()
        .orElseThrow();
  }

  @Test
  void decibelsOfABenchFileAreRatios() {
    StationResidual residual =
        StationResidual.of(
            Quantity.of(-100, Unit.DECIBEL),
            Quantity.of(-80, Unit.DECIBEL),
            Quantity.of(-60, Unit.DECIBEL));
    assertThat(residual).isEqualTo(new StationResidual(1e-5, 1e-4, 1e-3));
  }
}
