package kitproof.board;

import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * What results of many units have in common.
 *
 * @param unit of the value, or of what a curve shows
 * @param curve whether it is one
 * @param limit for people; empty if there was none
 * @param low the limit, or null
 * @param high the limit, or null
 */
record ResultKind(
    String name,
    Conditions conditions,
    Unit unit,
    boolean curve,
    String limit,
    @Nullable Double low,
    @Nullable Double high) {

  /** The limits in the unit of the value; null without one. */
  Limit.@Nullable Scalar limits() {
    return low == null && high == null ? null : new Limit.Scalar(quantity(low), quantity(high));
  }

  private @Nullable Quantity quantity(@Nullable Double value) {
    return value == null ? null : Quantity.of(value, unit);
  }
}
