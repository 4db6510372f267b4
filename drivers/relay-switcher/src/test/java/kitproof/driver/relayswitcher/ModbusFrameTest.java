package kitproof.driver.relayswitcher;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HexFormat;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvFileSource;
import org.junit.jupiter.params.provider.CsvSource;

class ModbusFrameTest {
  private static byte[] hex(String text) {
    return HexFormat.of().parseHex(text);
  }

  @ParameterizedTest
  @CsvFileSource(resources = "modbus_crc_vectors.csv", delimiter = '|')
  void theCrcIsThatOfTheSpecification(
      String name, String address, String data, String crc, String frame) {
    byte[] all = hex(frame);
    assertThat(ModbusFrame.crc(all, all.length - 2)).isEqualTo(Integer.parseInt(crc, 16));
    assertThat(ModbusFrame.isSound(all)).isTrue();
    if (address != null) {
      assertThat(ModbusFrame.of(Integer.parseInt(address, 16), hex(data))).isEqualTo(all);
    }
    for (int bit = 0; bit < 8 * all.length; bit++) {
      byte[] bad = all.clone();
      bad[bit / 8] ^= (byte) (1 << (bit % 8));
      assertThat(ModbusFrame.isSound(bad)).as("bit " + bit + " turned over").isFalse();
    }
  }

  /**
   * Requests of the examples in MODBUS Application Protocol Specification V1.1b3: 6.1 reads coils
   * 20 to 38, 6.5 writes coil 173 on; the data bytes are from memory.
   */
  @Test
  void requestsAreThoseOfTheSpecificationsExamples() {
    assertThat(ModbusFrame.readCoils(0x13, 0x13)).isEqualTo(hex("0100130013"));
    assertThat(ModbusFrame.writeCoil(0xAC, true)).isEqualTo(hex("0500ACFF00"));
    assertThat(ModbusFrame.writeCoil(0xAC, false)).isEqualTo(hex("0500AC0000"));
  }

  /** 0F with one state for all, in the form of 6.11: states from the lowest bit on, padded. */
  @ParameterizedTest
  @CsvSource({
    "19, 10, true, 0F0013000A02FF03",
    "19, 10, false, 0F0013000A020000",
    "256, 8, true, 0F0100000801FF",
    "0, 2, true, 0F000000020103"
  })
  void severalCoilsGoInOneRequest(int first, int count, boolean on, String expected) {
    assertThat(ModbusFrame.writeCoils(first, count, on)).isEqualTo(hex(expected));
  }

  /** 6.1: CD 6B 05 are coils 27-20, 35-28 and 38-36, the lowest in the lowest bit. */
  @Test
  void coilsAreReadFromTheLowestBitOn() {
    byte[] data = hex("0103CD6B05");
    String states = "1011001111010110101";
    for (int i = 0; i < states.length(); i++) {
      assertThat(ModbusFrame.coil(data, i)).as("coil " + i).isEqualTo(states.charAt(i) == '1');
    }
  }

  @ParameterizedTest
  @CsvFileSource(resources = "modbus_rules.csv", delimiter = '|')
  void exceptionsHaveTheirNamesAndFramesTheirSilence(String what, int key, String value) {
    switch (what) {
      case "exception" -> assertThat(ModbusFrame.exceptionName(key)).isEqualTo(value);
      case "silence" ->
          assertThat(ModbusLine.silence(key).toNanos() / 1e6)
              .isCloseTo(Double.parseDouble(value), org.assertj.core.data.Offset.offset(1e-6));
      default -> throw new IllegalArgumentException(what);
    }
  }
}
