package kitproof.uncertainty;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import kitproof.value.Contribution;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * The limits of an instrument's error as its maker states them: "±(0.05 % + 3 digits)", "±0.5 % of
 * range", "±(0.1 % of reading + 50 ppm of range + 2 mV)".
 *
 * <p>The terms add up without regard to their sign; within the limits any error is equally likely
 * (JCGM 100:2008, 4.3.7).
 *
 * @param terms in the order written, at least one
 */
public record AccuracyClass(List<Term> terms) {
  /** What to tell someone who wrote something else. */
  public static final String EXPECTED =
      "limits of error, such as \"±(0.05 % + 3 digits)\" or \"±(0.1 % of reading + 0.02 % of range"
          + " + 2 mV)\"";

  private static final Pattern SIGN = Pattern.compile("^(?:±|\\+/-|\\+-)\\s*");
  private static final Pattern TERM =
      Pattern.compile(
          "(?<number>\\d+(?:\\.\\d*)?|\\.\\d+)\\s*(?<what>[^\\d\\s].*?)(?:\\s+of\\s+(?<of>\\w+))?");

  /** What a term is a part of. */
  public enum Of {
    READING,
    RANGE,
    /** Counts of the last digit that is shown. */
    DIGITS,
    /** A quantity of its own. */
    NOTHING
  }

  /**
   * One term of the sum.
   *
   * @param of what it is a part of
   * @param amount as a ratio, a number of digits, or in the plain unit; above zero
   * @param unit of {@link Of#NOTHING}; else ONE
   */
  public record Term(Of of, double amount, Unit unit) {
    @Override
    public String toString() {
      return switch (of) {
        case READING -> percent() + " of reading";
        case RANGE -> percent() + " of range";
        case DIGITS -> plain(amount) + (amount == 1 ? " digit" : " digits");
        case NOTHING -> Quantity.of(amount, unit).toString();
      };
    }

    private String percent() {
      return plain(BigDecimal.valueOf(amount).movePointRight(2).doubleValue()) + " %";
    }
  }

  public AccuracyClass {
    terms = List.copyOf(terms);
    if (terms.isEmpty()) {
      throw new IllegalArgumentException(EXPECTED);
    }
  }

  /**
   * Reads limits of error; percent and ppm are of the reading unless they say otherwise.
   *
   * @throws IllegalArgumentException with what was expected
   */
  public static AccuracyClass parse(String text) {
    String sum = SIGN.matcher(text.strip()).replaceFirst("");
    if (sum.startsWith("(") || sum.endsWith(")")) {
      if (!sum.startsWith("(") || !sum.endsWith(")")) {
        throw new IllegalArgumentException(EXPECTED + "; one bracket is missing its other");
      }
      sum = sum.substring(1, sum.length() - 1);
    }
    List<Term> terms = new ArrayList<>();
    for (String part : sum.split("\\+", -1)) {
      terms.add(term(part.strip()));
    }
    return new AccuracyClass(terms);
  }

  private static Term term(String text) {
    Matcher form = TERM.matcher(text);
    if (!form.matches()) {
      throw wrong(text);
    }
    double number = Double.parseDouble(form.group("number"));
    if (number <= 0 || !Double.isFinite(number)) {
      throw new IllegalArgumentException(EXPECTED + "; \"" + text + "\" is no error at all");
    }
    String what = form.group("what");
    Of of = of(form.group("of"), text);
    switch (what) {
      case "%", "percent" -> {
        return new Term(of, scaled(form.group("number"), -2), Unit.ONE);
      }
      case "ppm" -> {
        return new Term(of, scaled(form.group("number"), -6), Unit.ONE);
      }
      case "digit", "digits", "count", "counts" -> {
        requireNoPart(form, text);
        return new Term(Of.DIGITS, number, Unit.ONE);
      }
      default -> {
        requireNoPart(form, text);
        try {
          Quantity quantity = Quantity.parse(text);
          return new Term(Of.NOTHING, quantity.value(), quantity.unit());
        } catch (IllegalArgumentException e) {
          throw new IllegalArgumentException(wrong(text).getMessage(), e);
        }
      }
    }
  }

  private static double scaled(String number, int exponent) {
    return new BigDecimal(number).scaleByPowerOfTen(exponent).doubleValue();
  }

  private static Of of(@Nullable String word, String text) {
    if (word == null) {
      return Of.READING;
    }
    return switch (word) {
      case "reading", "value" -> Of.READING;
      case "range" -> Of.RANGE;
      default ->
          throw new IllegalArgumentException(
              EXPECTED + "; \"" + text + "\" is a part of neither reading nor range");
    };
  }

  private static void requireNoPart(Matcher form, String text) {
    if (form.group("of") != null) {
      throw wrong(text);
    }
  }

  private static IllegalArgumentException wrong(String text) {
    return new IllegalArgumentException(EXPECTED + "; \"" + text + "\" is no term of such a sum");
  }

  /** Whether the error depends on how many digits are shown. */
  public boolean needsResolution() {
    return terms.stream().anyMatch(term -> term.of() == Of.DIGITS);
  }

  /** Whether the error depends on the range. */
  public boolean needsRange() {
    return terms.stream().anyMatch(term -> term.of() == Of.RANGE);
  }

  /** The first term that is in another unit; empty if all fit. */
  public List<Term> notIn(Unit unit) {
    return terms.stream().filter(t -> t.of() == Of.NOTHING && t.unit() != unit).toList();
  }

  /**
   * The largest error of a reading.
   *
   * @param reading in the plain unit
   * @param range full scale of the range, the same unit; 0 if no term is a part of it
   * @param resolution what one count of the last digit is, the same unit; 0 if no term counts them
   * @throws IllegalArgumentException if a range or a resolution is needed and not above zero
   */
  public double largestError(double reading, double range, double resolution) {
    double sum = 0;
    for (Term term : terms) {
      sum +=
          switch (term.of()) {
            case READING -> term.amount() * Math.abs(reading);
            case RANGE -> term.amount() * require(range, "range");
            case DIGITS -> term.amount() * require(resolution, "resolution");
            case NOTHING -> term.amount();
          };
    }
    return sum;
  }

  private double require(double value, String what) {
    if (!(value > 0)) {
      throw new IllegalArgumentException("the " + what + " is needed for " + this);
    }
    return value;
  }

  /** The line of a budget that an instrument of this class brings. */
  public Contribution contribution(
      String name, double reading, double range, double resolution, Unit unit) {
    return Contribution.within(
        name,
        Contribution.Distribution.RECTANGULAR,
        largestError(reading, range, resolution),
        unit);
  }

  private static String plain(double number) {
    return BigDecimal.valueOf(number).stripTrailingZeros().toPlainString();
  }

  /** Text that parses back: "±(0.05 % of reading + 3 digits)". */
  @Override
  public String toString() {
    return terms.stream().map(Term::toString).collect(Collectors.joining(" + ", "±(", ")"));
  }
}
