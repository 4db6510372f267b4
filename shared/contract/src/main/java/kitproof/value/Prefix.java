package kitproof.value;

import java.util.List;
import java.util.Optional;

/** SI prefixes from pico to giga. */
enum Prefix {
  GIGA(9, "G"),
  MEGA(6, "M"),
  KILO(3, "k"),
  NONE(0, ""),
  MILLI(-3, "m"),
  MICRO(-6, "u", "µ", "μ"),
  NANO(-9, "n"),
  PICO(-12, "p");

  private final int exponent;
  private final List<String> spellings;

  Prefix(int exponent, String... spellings) {
    this.exponent = exponent;
    this.spellings = List.of(spellings);
  }

  int exponent() {
    return exponent;
  }

  String symbol() {
    return spellings.get(0);
  }

  /** A unit text split into prefix and unit, or nothing if it is neither. */
  static Optional<Split> split(String text) {
    Optional<Unit> plain = Unit.ofSymbol(text);
    if (plain.isPresent()) {
      return Optional.of(new Split(NONE, plain.get()));
    }
    for (Prefix prefix : values()) {
      for (String spelling : prefix.spellings) {
        if (!spelling.isEmpty() && text.startsWith(spelling)) {
          Optional<Unit> unit =
              Unit.ofSymbol(text.substring(spelling.length())).filter(Unit::takesPrefix);
          if (unit.isPresent()) {
            return Optional.of(new Split(prefix, unit.get()));
          }
        }
      }
    }
    return Optional.empty();
  }

  record Split(Prefix prefix, Unit unit) {}
}
