package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.List;
import kitproof.calibration.Calibration;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.Capture;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeAudioInterface;
import kitproof.value.Conditions;
import kitproof.value.Quantity;
import kitproof.value.Signal;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;

/**
 * An interface whose output gives 1 % more than it says, whose input shows 2 % more, and in the
 * second range 4.1 times instead of 4 times as much: all of it stands in the calibration.
 */
class CorrectedAudioTest {
  private static final double RATE = 48_000;
  private static final double OUTPUT = 1.01;
  private static final double INPUT = 1.02;
  private static final double ATTENUATION = 4.1;

  private static final String CALIBRATION =
      """
      bench: b
      date: 2026-11-26
      outputs: [{channel: left, full-scale: 2.02 V, u: 1 mV}]
      inputs:
        - {channel: left, range: wide, full-scale: 19.6078431372549 V, u: 1 mV}
        - {channel: left, range: narrow, full-scale: 4.782400765184122 V, u: 1 mV}
      """;

  private final Route wide = range("wide", "20 V");
  private final Route narrow = range("narrow", "5 V");
  private @Nullable Route selected = wide;
  private double asked;

  private static Route range(String name, String fullScale) {
    return new Route(
        name,
        "range",
        List.of(),
        Duration.ZERO,
        Route.Purpose.RANGE,
        Conditions.NONE,
        null,
        Quantity.parse(fullScale, Unit.VOLT));
  }

  private CorrectedAudio corrected(String calibration) {
    AudioPorts ports =
        new AudioPorts(
            RATE,
            List.of(new AudioPort("left", 2 * Math.sqrt(2))),
            List.of(new AudioPort("left", 20 * Math.sqrt(2))));
    FakeAudioInterface interfaceItself =
        new FakeAudioInterface(
            new Calls(new SimulatedClock(Instant.EPOCH)),
            "audio",
            ports,
            stimulus -> {
              double[] left = stimulus.channel(0);
              asked = left[left.length / 2];
              double more = selected == narrow ? ATTENUATION : 1;
              Arrays.setAll(left, i -> OUTPUT * INPUT * more * left[i]);
              return Signal.of(RATE, left);
            });
    return new CorrectedAudio(
        interfaceItself,
        "audio",
        Calibration.read("c.yaml", calibration).value(),
        List.of(wide, narrow),
        () -> selected);
  }

  private static Signal volts(double volts) {
    double[] samples = new double[4_800];
    Arrays.fill(samples, volts);
    return Signal.of(RATE, samples);
  }

  private static double middle(Capture capture) {
    return capture.signal().at(0, capture.signal().length() / 2);
  }

  @Test
  void whatIsAskedForComesOutAndIsShown() throws InstrumentException {
    Capture capture = corrected(CALIBRATION).exchange(volts(1));
    assertThat(asked * OUTPUT).isCloseTo(1, within(1e-9));
    assertThat(middle(capture)).isCloseTo(1, within(1e-9));
  }

  /** The range's nominal ratio is taken out by whoever has selected it: here 4 stays to be. */
  @Test
  void anotherRangeHasAFullScaleOfItsOwn() throws InstrumentException {
    selected = narrow;
    assertThat(middle(corrected(CALIBRATION).exchange(volts(1)))).isCloseTo(4, within(1e-9));
  }

  @Test
  void portsTellTheTrueFullScaleAndTheLowestThatACaptureCanHave() {
    AudioPorts ports = corrected(CALIBRATION).ports();
    assertThat(ports.outputs().get(0).fullScalePeakVolts())
        .isCloseTo(2.02 * Math.sqrt(2), within(1e-9));
    assertThat(ports.inputs().get(0).fullScalePeakVolts())
        .isCloseTo(20 * Math.sqrt(2) / INPUT / (ATTENUATION / 4), within(1e-9));
    String path =
        CALIBRATION
            + """
            paths:
              - channel: left
                range: narrow
                points:
                  - {at: 10 Hz, level: 0 dB, u: 0 dB, phase: 0 deg}
                  - {at: 20 kHz, level: 6.0206 dB, u: 0 dB, phase: 0 deg}
            """;
    assertThat(corrected(path).ports().inputs().get(0).fullScalePeakVolts())
        .isCloseTo(20 * Math.sqrt(2) / INPUT / (ATTENUATION / 4) / 2, within(1e-4));
  }

  @Test
  void levelOfThePathIsTakenOutOfCaptures() throws InstrumentException {
    String path =
        CALIBRATION
            + """
            paths:
              - channel: left
                range: wide
                points:
                  - {at: 10 Hz, level: -6.0206 dB, u: 0 dB, phase: 0 deg}
                  - {at: 20 kHz, level: -6.0206 dB, u: 0 dB, phase: 0 deg}
            """;
    double[] tone = new double[9_600];
    Arrays.setAll(
        tone,
        i -> Math.pow(Math.sin(Math.PI * i / 9_600), 4) * Math.cos(2 * Math.PI * (i - 4_800) / 48));
    Capture capture = corrected(path).exchange(Signal.of(RATE, tone));
    assertThat(middle(capture)).isCloseTo(2, within(1e-4));
  }

  @Test
  void whatIsNotCalibratedIsLeftAsItIs() throws InstrumentException {
    Capture capture = corrected("bench: b\ndate: 2026-11-26\n").exchange(volts(1));
    assertThat(asked).isEqualTo(1);
    assertThat(middle(capture)).isCloseTo(OUTPUT * INPUT, within(1e-12));
  }
}
