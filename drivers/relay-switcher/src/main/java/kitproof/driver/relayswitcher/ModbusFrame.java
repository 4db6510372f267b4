package kitproof.driver.relayswitcher;

import java.util.Arrays;
import java.util.HexFormat;

/** Frames of Modbus RTU (MODBUS over Serial Line Specification V1.02, 2.5.1 and 6.2.2). */
final class ModbusFrame {
  private ModbusFrame() {}

  /** CRC-16 with the polynomial 0xA001 (reflected), from 0xFFFF; the low byte is sent first. */
  static int crc(byte[] bytes, int length) {
    int crc = 0xFFFF;
    for (int i = 0; i < length; i++) {
      crc ^= bytes[i] & 0xFF;
      for (int bit = 0; bit < 8; bit++) {
        crc = (crc & 1) == 0 ? crc >> 1 : (crc >> 1) ^ 0xA001;
      }
    }
    return crc;
  }

  /** Unit address, protocol data unit, CRC. */
  static byte[] of(int unit, byte... data) {
    byte[] frame = new byte[data.length + 3];
    frame[0] = (byte) unit;
    System.arraycopy(data, 0, frame, 1, data.length);
    int crc = crc(frame, data.length + 1);
    frame[data.length + 1] = (byte) crc;
    frame[data.length + 2] = (byte) (crc >> 8);
    return frame;
  }

  /** Whether its last two bytes are the CRC of the others. */
  static boolean isSound(byte[] frame) {
    int length = frame.length - 2;
    if (length < 1) {
      return false;
    }
    int crc = crc(frame, length);
    return frame[length] == (byte) crc && frame[length + 1] == (byte) (crc >> 8);
  }

  /** 01: read coils. */
  static byte[] readCoils(int first, int count) {
    return new byte[] {1, high(first), (byte) first, high(count), (byte) count};
  }

  /** 05: write single coil; 0xFF00 is on. */
  static byte[] writeCoil(int address, boolean on) {
    return new byte[] {5, high(address), (byte) address, (byte) (on ? 0xFF : 0), 0};
  }

  /** 06: write single register. */
  static byte[] writeRegister(int address, int value) {
    return new byte[] {6, high(address), (byte) address, high(value), (byte) value};
  }

  /** 0F: write multiple coils, all to one state. */
  static byte[] writeCoils(int first, int count, boolean on) {
    byte[] states = new byte[(count + 7) / 8];
    for (int i = 0; on && i < count; i++) {
      states[i / 8] |= (byte) (1 << (i % 8));
    }
    byte[] data = Arrays.copyOf(new byte[] {0x0F}, 6 + states.length);
    data[1] = high(first);
    data[2] = (byte) first;
    data[3] = high(count);
    data[4] = (byte) count;
    data[5] = (byte) states.length;
    System.arraycopy(states, 0, data, 6, states.length);
    return data;
  }

  /** Whether a coil is on in the answer to 01, counted from the first that was asked for. */
  static boolean coil(byte[] data, int index) {
    return (data[2 + index / 8] >> (index % 8) & 1) != 0;
  }

  private static byte high(int value) {
    return (byte) (value >> 8);
  }

  /** For messages. */
  static String hex(byte[] frame) {
    return HexFormat.ofDelimiter(" ").withUpperCase().formatHex(frame);
  }

  /** A function's name (MODBUS Application Protocol Specification V1.1b3, 6). */
  static String functionName(int function) {
    return switch (function) {
      case 0x01 -> "read coils";
      case 0x05 -> "write single coil";
      case 0x06 -> "write single register";
      case 0x0F -> "write multiple coils";
      default -> "function " + function;
    };
  }

  /** An exception's name (MODBUS Application Protocol Specification V1.1b3, 7). */
  static String exceptionName(int code) {
    return switch (code) {
      case 1 -> "ILLEGAL FUNCTION";
      case 2 -> "ILLEGAL DATA ADDRESS";
      case 3 -> "ILLEGAL DATA VALUE";
      case 4 -> "SERVER DEVICE FAILURE";
      case 5 -> "ACKNOWLEDGE";
      case 6 -> "SERVER DEVICE BUSY";
      case 8 -> "MEMORY PARITY ERROR";
      case 10 -> "GATEWAY PATH UNAVAILABLE";
      case 11 -> "GATEWAY TARGET DEVICE FAILED TO RESPOND";
      default -> "unknown exception";
    };
  }
}
