package kitproof.driver.serial;

import java.time.Duration;
import java.util.List;
import kitproof.driver.DriverDescription.Setting;
import kitproof.driver.Settings;

/**
 * How an instrument wants to be talked to.
 *
 * @param terminator at the end of messages, both ways
 * @param timeout for each answer
 * @param errorQuery the question for the oldest error; empty if the instrument has none
 * @param start commands after each meeting, such as SYST:REM
 */
public record ScpiSettings(
    Terminator terminator, Duration timeout, String errorQuery, List<String> start) {
  public ScpiSettings {
    start = List.copyOf(start);
  }

  /** The settings read here, for a driver's description. */
  public static final List<Setting> DESCRIPTION =
      List.of(
          new Setting(
              "terminator",
              "lf, crlf or cr",
              "lf",
              "what ends a message; answers that end with cr lf are understood with lf too"),
          new Setting(
              "timeout", "a time, such as \"500 ms\"", "2 s", "how long an answer may take"),
          new Setting(
              "error-query",
              "a SCPI query, or \"none\"",
              "SYST:ERR?",
              "what asks for the oldest entry of the error queue"),
          new Setting(
              "start",
              "a list of SCPI commands",
              "none",
              "commands after each opening, such as SYST:REM"));

  /** What ends a message. */
  public enum Terminator {
    LF("\n"),
    CRLF("\r\n"),
    CR("\r");

    private final String text;

    Terminator(String text) {
      this.text = text;
    }

    String text() {
      return text;
    }

    byte last() {
      return (byte) text.charAt(text.length() - 1);
    }

    /** The word in bench files. */
    @Override
    public String toString() {
      return name().toLowerCase(java.util.Locale.ROOT);
    }
  }

  /** Reads the settings; what is wrong is kept there. */
  public static ScpiSettings read(Settings settings) {
    String errorQuery = settings.text("error-query", "SYST:ERR?");
    return new ScpiSettings(
        settings.choice("terminator", Terminator.class, Terminator.LF),
        settings.duration("timeout", Duration.ofSeconds(2)),
        errorQuery.equals("none") ? "" : errorQuery,
        settings.texts("start"));
  }
}
