package kitproof.limit;

import java.util.Optional;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * One entry of a limit file.
 *
 * @param location where it stands
 * @param result the name of the results it judges
 * @param when the conditions a result must hold under to be judged by it; none for any
 * @param limit what is good
 */
public record LimitEntry(Location location, String result, Conditions when, Limit limit) {
  /** Whether a result of this name and these conditions is one it can judge. */
  public boolean appliesTo(String name, Conditions conditions) {
    return result.equals(name) && conditions.satisfy(when);
  }

  /** Whether it judges a curve, not a single quantity. */
  public boolean isCurve() {
    return limit instanceof Limit.Mask;
  }

  /** The unit of the values judged; of a curve, its y. */
  public Unit unit() {
    if (limit instanceof Limit.Scalar scalar) {
      return either(scalar.low(), scalar.high());
    }
    Limit.Point first = ((Limit.Mask) limit).points().get(0);
    return either(first.low(), first.high());
  }

  /** The unit of a curve's x; empty for a single quantity. */
  public Optional<Unit> xUnit() {
    return limit instanceof Limit.Mask mask
        ? Optional.of(mask.points().get(0).at().unit())
        : Optional.empty();
  }

  /** "gain (mode triode, tap 8 ohm)". */
  public String title() {
    return when.isEmpty() ? result : result + " (" + when + ")";
  }

  private static Unit either(@Nullable Quantity low, @Nullable Quantity high) {
    if (low != null) {
      return low.unit();
    }
    if (high != null) {
      return high.unit();
    }
    throw new IllegalStateException("a limit without low and high");
  }
}
