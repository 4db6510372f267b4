package kitproof.driver.serial;

import java.time.Duration;
import java.util.List;
import kitproof.driver.BenchClock;
import kitproof.driver.DriverDescription.Setting;
import kitproof.driver.Settings;

/**
 * The part of a role's settings that says which line leads to the instrument.
 *
 * @param line a serial port's path or name, or "tcp://host:port"
 * @param format used on serial ports only
 */
public record LineSettings(String line, SerialFormat format) {
  /** The settings read here, for a driver's description. */
  public static final List<Setting> DESCRIPTION =
      List.of(
          new Setting(
              "line",
              "a serial port, such as \"/dev/ttyUSB0\" or \"COM3\", or \"tcp://host:port\"",
              "",
              "where the instrument is connected"),
          new Setting("baud", "a whole number from 50 to 4000000", "9600", "bits per second"),
          new Setting("data-bits", "7 or 8", "8", "data bits of a character"),
          new Setting("parity", "none, even or odd", "none", "parity of a character"),
          new Setting("stop-bits", "1 or 2", "1", "stop bits of a character"));

  private static final String TCP = "tcp://";
  private static final String LINE_EXPECTED =
      "a serial port, such as \"/dev/ttyUSB0\" or \"COM3\", or \"tcp://host:port\"";

  /** Reads the settings; what is wrong is kept there. */
  public static LineSettings read(Settings settings) {
    String line = settings.parsed("line", LINE_EXPECTED, "/dev/null", LineSettings::checked);
    SerialFormat format =
        new SerialFormat(
            settings.integer("baud", 50, 4_000_000, 9_600),
            settings.integer("data-bits", 7, 8, 8),
            settings.choice("parity", SerialFormat.Parity.class, SerialFormat.Parity.NONE),
            settings.integer("stop-bits", 1, 2, 1));
    return new LineSettings(line, format);
  }

  private static String checked(String text) {
    if (text.isBlank() || (text.contains("://") && port(text) < 0)) {
      throw new IllegalArgumentException(LINE_EXPECTED);
    }
    return text;
  }

  /** The port of "tcp://host:port", or -1 if the text is not such. */
  private static int port(String text) {
    int colon = text.lastIndexOf(':');
    if (!text.startsWith(TCP) || colon <= TCP.length()) {
      return -1;
    }
    try {
      int port = Integer.parseInt(text.substring(colon + 1));
      return port >= 1 && port <= 65_535 ? port : -1;
    } catch (NumberFormatException e) {
      return -1;
    }
  }

  /** A conversation over this line; not opened yet. */
  public Conversation conversation(BenchClock clock) {
    return new Conversation(line, opener(), clock);
  }

  /** How long this many characters take on a serial port; nothing over TCP. */
  public Duration timeOnTheWire(int characters) {
    return line.startsWith(TCP)
        ? Duration.ZERO
        : format.characterTime().multipliedBy(Math.max(0, characters));
  }

  /** What opens the line. A serial port's name is looked up again at each opening. */
  LineOpener opener() {
    if (line.startsWith(TCP)) {
      String host = line.substring(TCP.length(), line.lastIndexOf(':'));
      return (clock, atMost) -> TcpLine.open(host, port(line), atMost);
    }
    return (clock, atMost) -> SerialPortLine.open(line, format, clock);
  }
}
