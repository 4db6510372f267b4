package kitproof.limit;

import java.util.Locale;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** The details of judgements, for people. */
final class Say {
  private static final int USUAL_DIGITS = 4;
  private static final int MOST_DIGITS = 9;

  private Say() {}

  /** "25.1 dB is below 26 dB", with as many digits as it takes to tell the two apart. */
  static String compared(Quantity value, String relation, Quantity limit) {
    for (int digits = USUAL_DIGITS; digits <= MOST_DIGITS; digits++) {
      String one = value.display(digits);
      String other = limit.display(digits);
      if (!one.equals(other)) {
        return one + " " + relation + " " + other;
      }
    }
    return value + " " + relation + " " + limit;
  }

  /** "26 dB to 27.6 dB", "at least 26 dB", "at most 27.6 dB". */
  static String good(@Nullable Quantity low, @Nullable Quantity high) {
    if (high == null) {
      return low == null ? "not limited" : "at least " + low.display();
    }
    return low == null ? "at most " + high.display() : low.display() + " to " + high.display();
  }

  /** "26.05 dB is above 26 dB by less than its guard band of 0.12 dB; it conforms with 88 %". */
  static String guarded(
      Quantity value, Quantity limit, double guard, String side, double conformance) {
    return compared(value, "is " + side, limit)
        + " by less than its guard band of "
        + Quantity.of(guard, value.unit()).display(2)
        + "; it conforms with "
        + percent(conformance);
  }

  /** "88 %", "99.2 %": never rounded to a certainty that there is not. */
  static String percent(double probability) {
    double percent = 100 * probability;
    int places = percent > 10 && percent < 90 ? 0 : percent > 1 && percent < 99 ? 1 : 3;
    return String.format(Locale.ROOT, "%." + places + "f %%", percent);
  }

  static String otherUnit(Unit limit, Unit result) {
    return "the limit is in " + name(limit) + ", the result in " + name(result);
  }

  private static String name(Unit unit) {
    return unit == Unit.ONE ? "plain numbers" : unit.symbol();
  }
}
