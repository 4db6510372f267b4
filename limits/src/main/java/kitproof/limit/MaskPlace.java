package kitproof.limit;

import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** What a mask allows at one place, for who watches a curve while it is measured. Pure. */
public final class MaskPlace {
  private MaskPlace() {}

  /**
   * The ends at a place.
   *
   * @param at along the curve
   * @return empty if the mask says nothing there, or is along another unit
   */
  public static Optional<Limit.Scalar> of(Limit.Mask mask, Quantity at) {
    Quantity low = end(mask.points(), at, Limit.Point::low);
    Quantity high = end(mask.points(), at, Limit.Point::high);
    return low == null && high == null
        ? Optional.empty()
        : Optional.of(new Limit.Scalar(low, high));
  }

  private static @Nullable Quantity end(
      List<Limit.Point> corners, Quantity at, Function<Limit.Point, @Nullable Quantity> side) {
    for (int i = 0; i < corners.size(); i++) {
      Limit.Point corner = corners.get(i);
      Quantity here = side.apply(corner);
      if (here == null || corner.at().unit() != at.unit()) {
        continue;
      }
      if (corner.at().compareTo(at) == 0) {
        return here;
      }
      Limit.Point next = i + 1 < corners.size() ? corners.get(i + 1) : null;
      Quantity there = next == null ? null : side.apply(next);
      if (next != null
          && there != null
          && corner.at().compareTo(at) < 0
          && at.compareTo(next.at()) < 0) {
        double part = part(corner.at(), next.at(), at);
        return Quantity.of(here.value() + part * (there.value() - here.value()), here.unit());
      }
    }
    return null;
  }

  private static double part(Quantity from, Quantity to, Quantity at) {
    return MaskJudge.isLogarithmic(at.unit())
        ? Math.log(at.value() / from.value()) / Math.log(to.value() / from.value())
        : (at.value() - from.value()) / (to.value() - from.value());
  }
}
