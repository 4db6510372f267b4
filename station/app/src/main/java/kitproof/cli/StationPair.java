package kitproof.cli;

import java.nio.file.Path;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import kitproof.signal.Levels;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ParameterException;

/** By how much lower the second of two captures was played: as their records or the user say. */
final class StationPair {
  /** Nearer than this two levels are the same. */
  private static final double SAME_DB = 0.01;

  private StationPair() {}

  /**
   * Decibels, zero or more.
   *
   * @param channel of both files, from 1
   * @param option that says it of captures from elsewhere
   * @param told its value, or null if it was not given
   * @throws ParameterException if the records say something else, or that the two are no pair; or
   *     if a record tells of one capture only, or not what was played, and nobody says it
   */
  static double lowerDb(
      CaptureOptions captures,
      Path first,
      Path second,
      int channel,
      String option,
      @Nullable String told) {
    Optional<StationCapture> one = StationCapture.of(first);
    Optional<StationCapture> other = StationCapture.of(second);
    double given = told == null ? 0 : captures.notNegative(option, told, Unit.DECIBEL);
    if (one.isEmpty() || other.isEmpty()) {
      if (one.isPresent() != other.isPresent() && told == null) {
        throw captures.wrong(
            (one.isEmpty() ? first : second)
                + ": found no record that tells of it as it is; expected one, as the other capture"
                + " has, or "
                + option,
            null);
      }
      return given;
    }
    String range = one.get().kept().range();
    if (!range.equals(other.get().kept().range())) {
      throw captures.wrong(
          second
              + ": found a capture in input range \""
              + other.get().kept().range()
              + "\"; expected one in \""
              + range
              + "\", as the other is (kitproof analyze record knows their ratio)",
          null);
    }
    OptionalDouble loud = one.get().drive(channel);
    OptionalDouble quiet = other.get().drive(channel);
    if (loud.isEmpty() || quiet.isEmpty()) { // kept before records said what was played
      if (told == null) {
        throw captures.wrong(
            (loud.isEmpty() ? first : second)
                + ": found a record that does not say what was played; expected "
                + option,
            null);
      }
      return given;
    }
    double known = Levels.db(loud.getAsDouble() / quiet.getAsDouble());
    if (told != null && Math.abs(known - given) > SAME_DB) {
      throw captures.wrong(
          String.format(
              Locale.ROOT,
              "%s: found \"%s\"; expected \"%.3f dB\", which the record of run %s says of these"
                  + " captures, or nothing",
              option,
              told,
              known,
              other.get().run()),
          null);
    }
    return known;
  }
}
