package kitproof.value;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/**
 * The units of the station's figures.
 *
 * <p>SI prefixes from pico to giga are understood where a person would write them ("20 kHz", "470
 * uF") and never kept: a {@link Quantity} holds the plain unit.
 */
public enum Unit {
  VOLT("V", true),
  AMPERE("A", true),
  /** With the Greek letter and with the sign that looks the same. */
  OHM("ohm", true, "Ω", "\u2126", "Ohm"),
  WATT("W", true),
  HERTZ("Hz", true),
  SECOND("s", true),
  FARAD("F", true),
  HENRY("H", true),
  DECIBEL("dB", false),
  DECIBEL_VOLT("dBV", false),
  PERCENT("%", false),
  DEGREE("deg", false, "°"),
  CELSIUS("°C", false, "degC"),
  VOLT_PER_SECOND("V/s", true),
  /** A plain number: a ratio or a count. */
  ONE("", false);

  private final String symbol;
  private final boolean prefixed;
  private final List<String> spellings;

  Unit(String symbol, boolean prefixed, String... others) {
    this.symbol = symbol;
    this.prefixed = prefixed;
    List<String> all = new ArrayList<>();
    all.add(symbol);
    all.addAll(Arrays.asList(others));
    this.spellings = List.copyOf(all);
  }

  /** The unit as it is printed, for example "ohm". Empty for {@link #ONE}. */
  public String symbol() {
    return symbol;
  }

  /** Whether SI prefixes may stand before the symbol. */
  public boolean takesPrefix() {
    return prefixed;
  }

  /** Every way to write the unit without prefix, the printed one first. */
  public List<String> spellings() {
    return spellings;
  }

  /** The unit with exactly this spelling and no prefix. */
  public static Optional<Unit> ofSymbol(String text) {
    return Arrays.stream(values()).filter(u -> u.spellings.contains(text)).findFirst();
  }
}
