package kitproof.interlock;

import java.time.Duration;
import java.util.Set;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * One reading to be watched, as the plan declares it.
 *
 * @param location where it stands in the plan
 * @param name its name
 * @param meter the role of the meter
 * @param function the meter's function
 * @param low below this it trips; null for no such end
 * @param high above this it trips; null for no such end
 * @param within from a value outside the band to the command that takes the mains away
 * @param every from the beginning of one reading to the next
 * @param after how long the band is not judged after arming, for what rushes in
 * @param mains the states of the mains in which it is armed
 * @param when conditions of the step under which it is armed; none for any
 * @param firstStep the first step in which it is armed, from 0
 * @param lastStep the last one
 * @param budget how long a value may lie beyond what can be stood for ever; null for none
 */
public record Interlock(
    Location location,
    String name,
    String meter,
    String function,
    @Nullable Quantity low,
    @Nullable Quantity high,
    Duration within,
    Duration every,
    Duration after,
    Set<Route.Purpose> mains,
    Conditions when,
    int firstStep,
    int lastStep,
    @Nullable Budget budget) {
  public Interlock {
    mains = Set.copyOf(mains);
  }

  /**
   * What is stood for a while only, such as a valve beyond its anode dissipation.
   *
   * @param beyond values above this use the time up
   * @param noLonger how long they may stay there in a row
   */
  public record Budget(Quantity beyond, Duration noLonger) {
    /** Whether a reading uses the time up. */
    boolean isUsedBy(Reading reading) {
      return reading instanceof Reading.Value value
          ? value.quantity().compareTo(beyond) > 0
          : reading instanceof Reading.Overload overload && !overload.negative();
    }
  }

  /**
   * How old the last good reading may be, counted from its beginning. What is left of {@link
   * #within} is for noticing it and for the command.
   */
  public Duration oldest() {
    return within.multipliedBy(9).dividedBy(10);
  }

  /** Whether it watches in this situation. */
  public boolean armedIn(Situation situation) {
    return mains.contains(situation.mains())
        && situation.step() >= firstStep
        && situation.step() <= lastStep
        && situation.conditions().stream().allMatch(c -> c.satisfy(when));
  }

  /**
   * What is wrong with a reading; empty if it lies within the band, ends included.
   *
   * <p>An overload lies beyond the end of its sign.
   */
  String broken(Reading reading) {
    if (reading instanceof Reading.Overload overload) {
      boolean beyond = overload.negative() ? low != null : high != null;
      return beyond ? source() + " shows overload" + (overload.negative() ? ", negative" : "") : "";
    }
    if (!(reading instanceof Reading.Value value)) {
      return "";
    }
    Quantity quantity = value.quantity();
    for (Quantity end : new Quantity[] {low, high, budget == null ? null : budget.beyond}) {
      if (end != null && end.unit() != quantity.unit()) {
        return source() + " reads " + quantity.display() + ", no " + end.unit().symbol();
      }
    }
    if (low != null && quantity.compareTo(low) < 0) {
      return source() + " " + quantity.display() + " is below " + low.display();
    }
    if (high != null && quantity.compareTo(high) > 0) {
      return source() + " " + quantity.display() + " is above " + high.display();
    }
    return "";
  }

  /** Whether its band is in this unit. */
  public boolean isIn(Unit unit) {
    return (low == null || low.unit() == unit)
        && (high == null || high.unit() == unit)
        && (budget == null || budget.beyond.unit() == unit);
  }

  /** Says that readings in this unit are of another one than its band. */
  public String inAnotherUnit(Unit unit) {
    Quantity end = low != null ? low : high != null || budget == null ? high : budget.beyond;
    return "interlock \""
        + name
        + "\" at "
        + (end == null ? "" : end.display())
        + " on "
        + source()
        + ", which reads "
        + unit.symbol();
  }

  /** "hv-meter hv". */
  String source() {
    return meter + " " + function;
  }
}
