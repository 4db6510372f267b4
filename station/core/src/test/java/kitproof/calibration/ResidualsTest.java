package kitproof.calibration;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import kitproof.signal.Levels;
import org.junit.jupiter.api.Test;

class ResidualsTest {
  private static final Residuals RESIDUALS =
      new Residuals(
          Calibration.read(
                  "c.yaml",
                  """
                  bench: b
                  date: 2026-11-26
                  residuals:
                    - {channel: left, at: 1 kHz, level: -20 dB, thd: -110 dB, noise: -112 dB}
                    - {channel: left, at: 1 kHz, level: 0 dB, thd: -90 dB, noise: -110 dB}
                    - {channel: left, at: 10 kHz, level: -3 dB, thd: -80 dB, noise: -109 dB}
                  leakages:
                    - {from: left, to: right, at: 1 kHz, level: -100 dB}
                    - {from: left, to: right, at: 10 kHz, level: -85 dB}
                  """)
              .value(),
          "audio");

  private static double thd(double hertz, double level) {
    return Levels.db(RESIDUALS.at("left", null, hertz, level).orElseThrow().thd());
  }

  @Test
  void theNearestToneCountsBetweenItsLevelsInDecibels() {
    assertThat(thd(1000, -10)).isCloseTo(-100, within(1e-9));
    assertThat(thd(500, -15)).isCloseTo(-105, within(1e-9));
    assertThat(thd(8000, -15)).isCloseTo(-80, within(1e-9));
    assertThat(thd(1000, 6)).isCloseTo(-90, within(1e-9));
    assertThat(thd(1000, -60)).isCloseTo(-110, within(1e-9));
  }

  @Test
  void whatIsNotToldIsNotKnown() {
    assertThat(RESIDUALS.at("right", null, 1000, 0)).isEmpty();
    assertThat(RESIDUALS.at("left", "range 5 V", 1000, 0)).isEmpty();
    assertThat(RESIDUALS.leakage("right", "left", 1000)).isEmpty();
    assertThat(RESIDUALS.noise("right", null)).isEmpty();
    assertThat(Levels.db(RESIDUALS.noise("left", null).getAsDouble()))
        .isCloseTo(-112, within(1e-9));
  }

  @Test
  void ofLeakageTheWorseOfTheFrequenciesAroundCounts() {
    assertThat(Levels.db(RESIDUALS.leakage("left", "right", 3000).orElseThrow().ratio()))
        .isCloseTo(-85, within(1e-9));
    assertThat(Levels.db(RESIDUALS.leakage("left", "right", 500).orElseThrow().ratio()))
        .isCloseTo(-100, within(1e-9));
  }

  private static Residuals of(String entries) {
    return new Residuals(
        Calibration.read("c.yaml", "bench: b\ndate: 2026-11-26\n" + entries).value(), "audio");
  }

  /** With a tone there may be more noise than alone: what of thd+n is no distortion. */
  @Test
  void whatThdAndNoiseDoNotExplainOfThdPlusNoiseIsNoise() {
    String entry = "residuals: [{channel: left, at: 1 kHz, level: -20 dB, thd: -90 dB, noise: %s}]";
    Residuals.Own told =
        of(entry.formatted("-120 dB, thd-plus-noise: -80 dB, u: 0.5 dB"))
            .at("left", null, 1000, -20)
            .orElseThrow();
    double besides = Math.sqrt(Math.pow(10, -8) - Math.pow(10, -9));
    assertThat(told.noise()).isCloseTo(besides * Levels.ratio(-20), within(1e-12));
    double relative = 0.5 * Math.log(10) / 20;
    assertThat(told.degreesOfFreedom()).isCloseTo(0.5 / relative / relative, within(1e-9));
    Residuals.Own not = of(entry.formatted("-120 dB")).at("left", null, 1000, -20).orElseThrow();
    assertThat(not.noise()).isCloseTo(1e-6, within(1e-15));
    assertThat(not.degreesOfFreedom()).isInfinite();
  }

  @Test
  void howWellALeakageIsKnownIsInItsDegreesOfFreedom() {
    String entry = "leakages: [{from: left, to: right, at: 1 kHz, level: -90 dB%s}]\n";
    double relative = Math.log(10) / 20;
    assertThat(
            of(entry.formatted(", u: 1 dB"))
                .leakage("left", "right", 1000)
                .orElseThrow()
                .degreesOfFreedom())
        .isCloseTo(0.5 / relative / relative, within(1e-9));
    assertThat(
            of(entry.formatted("")).leakage("left", "right", 1000).orElseThrow().degreesOfFreedom())
        .isInfinite();
  }
}
