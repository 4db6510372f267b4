package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import kitproof.driver.Capture;
import kitproof.value.Signal;
import org.junit.jupiter.api.Test;

/** 1 W in 8 ohm are 4 V peak; 5 V are 1.9 dB more, 6 V are 3.5 dB, 5.5 V only 0.8 dB above 5 V. */
class StatedPowerTest {
  private static final double OHMS = 8;

  private final StatedPower stated = new StatedPower();

  private String excess(String channel, double peak, boolean lost) {
    double[] volts = {0, peak / 2, -peak, 0};
    return stated.excess(channel, new Capture(Signal.of(48_000, volts), false, lost), volts, OHMS);
  }

  private String excess(String channel, double peak) {
    return excess(channel, peak, false);
  }

  @Test
  void eachChannelIsToldOnce() {
    stated.take(1);
    assertThat(excess("left", 5)).contains("1.9 dB above");
    assertThat(excess("right", 4.4)).isEmpty();
    assertThat(excess("left", 5)).isEmpty();
    assertThat(excess("right", 5)).contains("1.9 dB above");
    assertThat(excess("right", 5)).isEmpty();
  }

  @Test
  void whatIsClearlyWorseIsToldAgain() {
    stated.take(1);
    assertThat(excess("left", 5)).contains("1.9 dB above");
    assertThat(excess("left", 5.5)).isEmpty();
    assertThat(excess("left", 6)).contains("3.5 dB above");
    assertThat(excess("left", 6.5)).isEmpty();
  }

  @Test
  void theHighestPowerCounts() {
    stated.take(1);
    stated.take(4);
    stated.take(2);
    assertThat(excess("left", 8.8)).isEmpty();
    assertThat(excess("left", 10)).contains("1.9 dB above");
  }

  @Test
  void withoutAPowerOrAWholeCaptureNothingIsTold() {
    assertThat(excess("left", 50)).isEmpty();
    stated.take(1);
    assertThat(excess("left", 50, true)).isEmpty();
    assertThat(excess("left", 50)).contains("21.9 dB above");
  }
}
