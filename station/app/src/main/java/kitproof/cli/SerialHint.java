package kitproof.cli;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import kitproof.value.Location;
import kitproof.value.Problem;

/** What somebody may have meant who typed a serial number that is none. */
final class SerialHint {
  private static final Pattern LAST_DIGITS = Pattern.compile("^(.*?)([0-9]+)$");
  private static final int MOST_DIGITS = 8;

  private SerialHint() {}

  /**
   * The nearest serial number.
   *
   * @param pattern what serial numbers look like
   * @param known serial numbers that have been here before
   */
  static Optional<String> nearest(Pattern pattern, String typed, List<String> known) {
    String plain = typed.strip();
    return spellings(plain)
        .flatMap(SerialHint::padded)
        .filter(spelling -> pattern.matcher(spelling).matches())
        .findFirst()
        .or(
            () ->
                Optional.ofNullable(
                    Problem.unknownName(new Location("", 0, 0), "unit", plain, known).nearest()));
  }

  /** As typed, and with what hands and scanners mistake put right. */
  private static Stream<String> spellings(String plain) {
    String upper = plain.toUpperCase(Locale.ROOT);
    String hyphens = upper.replaceAll("[\\s_./]+", "-");
    String digits = hyphens;
    Matcher tail = Pattern.compile("[-]([0-9OIL]+)$").matcher(hyphens);
    if (tail.find()) {
      digits =
          hyphens.substring(0, tail.start(1))
              + tail.group(1).replace('O', '0').replace('I', '1').replace('L', '1');
    }
    String parted = digits.replaceFirst("^(.*[0-9])([0-9]{3})$", "$1-$2");
    return Stream.of(plain, upper, hyphens, digits, parted);
  }

  /** With noughts put before its last digits, or taken away. */
  private static Stream<String> padded(String spelling) {
    Matcher matcher = LAST_DIGITS.matcher(spelling);
    if (!matcher.matches()) {
      return Stream.of(spelling);
    }
    String head = matcher.group(1);
    String number = matcher.group(2).replaceFirst("^0+(?=.)", "");
    Stream<String> lengths =
        Stream.iterate(number, n -> n.length() <= MOST_DIGITS, n -> "0" + n).map(n -> head + n);
    return Stream.concat(Stream.of(spelling), lengths);
  }
}
