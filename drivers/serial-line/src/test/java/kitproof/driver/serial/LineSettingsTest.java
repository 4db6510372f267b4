package kitproof.driver.serial;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
import kitproof.driver.DriverDescription.Setting;
import kitproof.driver.Settings;
import kitproof.driver.kit.Nodes;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class LineSettingsTest {
  @Test
  void aLineAloneIsEnough() {
    Settings settings = Nodes.settings(Map.of("line", "/dev/ttyUSB0"));
    assertThat(LineSettings.read(settings))
        .isEqualTo(
            new LineSettings(
                "/dev/ttyUSB0", new SerialFormat(9_600, 8, SerialFormat.Parity.NONE, 1)));
    assertThat(settings.problems()).isEmpty();
  }

  @Test
  void everythingCanBeSaid() {
    Settings settings =
        Nodes.settings(
            Map.of(
                "line", "COM3", "baud", 19_200, "data-bits", 7, "parity", "even", "stop-bits", 2));
    assertThat(LineSettings.read(settings))
        .isEqualTo(
            new LineSettings("COM3", new SerialFormat(19_200, 7, SerialFormat.Parity.EVEN, 2)));
    assertThat(settings.problems()).isEmpty();
    assertThat(LineSettings.DESCRIPTION.stream().map(Setting::key))
        .containsExactlyElementsOf(settings.keysRead());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "tcp://meter.local:5025",
        "tcp://10.0.0.7:65535",
        "tcp://[::1]:5025",
        "/dev/serial/by-path/pci-0000:00:14.0-usb-0:2:1.0-port0"
      })
  void addressesAndOddPathsAreUnderstood(String line) {
    Settings settings = Nodes.settings(Map.of("line", line));
    assertThat(LineSettings.read(settings).line()).isEqualTo(line);
    assertThat(settings.problems()).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        " ",
        "tcp://meter",
        "tcp://:5025",
        "tcp://meter:0",
        "tcp://a:99999",
        "udp://a:1"
      })
  void whatIsNoLineIsAProblem(String line) {
    Settings settings = Nodes.settings(Map.of("line", line));
    LineSettings.read(settings);
    assertThat(settings.problems())
        .singleElement()
        .satisfies(p -> assertThat(p.expected()).contains("tcp://host:port"));
  }
}
