package kitproof.driver.serialmeter;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.driver.DriverDescription.Setting;
import kitproof.driver.Settings;
import kitproof.driver.serial.LineSettings;
import kitproof.driver.serial.ScpiSettings;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * A role's settings, read.
 *
 * @param end commands before the line is let go, such as SYST:LOC
 * @param functions by name, in the order of the file
 */
record MeterSettings(
    LineSettings line, ScpiSettings scpi, List<String> end, Map<String, Function> functions) {

  /**
   * One function of the meter.
   *
   * @param configure commands that choose function and range
   * @param read the query that takes one reading
   * @param unit of the reading times the scale
   * @param scale what a reading is multiplied by, for example 1000 for a 1000:1 probe
   * @param readingTime how long the meter takes for one at most, or null if that is not stated
   */
  record Function(
      List<String> configure,
      String read,
      Unit unit,
      double scale,
      @Nullable Duration readingTime) {}

  /** Characters of an answer: a number, or an entry of the error queue that has none. */
  private static final int ANSWER = 20;

  /** Characters of a question for the identity with its answer. */
  private static final int IDENTITY = 60;

  static final List<Setting> DESCRIPTION =
      List.of(
          new Setting(
              "end",
              "a list of SCPI commands",
              "none",
              "commands before closing, such as SYST:LOC"),
          new Setting(
              "functions",
              "names with sections of: configure (SCPI commands), read (a SCPI query, READ? if left"
                  + " out), unit (such as V), scale (a number, 1 if left out),"
                  + " reading-time (how long one takes at most, such as 300 ms)",
              "",
              "what the meter reads, by the names that plans use"));

  /** Reads the settings; what is wrong is kept there. */
  static MeterSettings read(Settings settings) {
    LineSettings line = LineSettings.read(settings);
    ScpiSettings scpi = ScpiSettings.read(settings);
    List<String> end = settings.texts("end");
    Map<String, Function> functions = new LinkedHashMap<>();
    settings.parts("functions").forEach((name, part) -> functions.put(name, function(part)));
    if (functions.isEmpty()) {
      settings.reject("functions", "at least one function, such as \"dc-voltage\"");
    }
    return new MeterSettings(line, scpi, end, functions);
  }

  private static Function function(Settings part) {
    List<String> configure = part.texts("configure");
    if (configure.isEmpty()) {
      part.reject("configure", "at least one SCPI command, such as \"CONF:VOLT:DC 1000\"");
    }
    double scale = part.quantity("scale", Unit.ONE, 1).value();
    if (Math.abs(scale) < 1e-12 || Math.abs(scale) > 1e12) {
      part.reject("scale", "a number from 1e-12 to 1e12, such as 1000 for a 1000:1 probe");
    }
    return new Function(
        configure,
        part.parsedOr("read", "a SCPI query, such as \"READ?\"", "READ?", MeterSettings::query),
        part.parsed("unit", "a unit without prefix, such as V", Unit.ONE, MeterSettings::unit),
        scale,
        readingTime(part));
  }

  private static @Nullable Duration readingTime(Settings part) {
    if (!part.has("reading-time")) {
      return null;
    }
    Duration time = part.duration("reading-time", Duration.ZERO);
    if (time.isZero()) {
      part.reject("reading-time", "more than zero");
    }
    return time;
  }

  /**
   * How long a reading takes at most with all that is said for it: choosing the function, the
   * question, the error queue, and asking the meter who it is; empty if its time is not stated.
   */
  Optional<Duration> readingTime(String name) {
    Function function = functions.get(name);
    if (function == null || function.readingTime == null) {
      return Optional.empty();
    }
    int messages = function.configure.size() + 2; // the question, and who it is
    int characters = function.read.length() + ANSWER + IDENTITY;
    characters += function.configure.stream().mapToInt(String::length).sum();
    if (!scpi.errorQuery().isEmpty()) {
      characters += messages * (scpi.errorQuery().length() + ANSWER);
    }
    return Optional.of(function.readingTime.plus(line.timeOnTheWire(characters)));
  }

  private static String query(String text) {
    if (!text.contains("?")) {
      throw new IllegalArgumentException("a SCPI query with a question mark, such as \"READ?\"");
    }
    return text;
  }

  private static Unit unit(String text) {
    Optional<Unit> unit = Unit.ofSymbol(text.strip());
    return unit.orElseThrow(
        () -> new IllegalArgumentException("a unit without prefix, such as V, A, ohm or Hz"));
  }

  /** A reading in the function's unit, scaled. */
  static Quantity scaled(Function function, double reading) {
    return Quantity.of(reading * function.scale(), function.unit());
  }
}
