package kitproof.run;

import java.util.Comparator;
import java.util.List;
import java.util.Objects;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** A bench's input ranges: attenuators before the inputs of its audio interface. */
final class RangeRoutes {
  private final List<Route> ranges;

  RangeRoutes(Bench bench) {
    ranges =
        bench.routes().stream()
            .filter(route -> route.purpose() == Route.Purpose.RANGE)
            .sorted(Comparator.comparing(RangeRoutes::fullScale, Comparator.reverseOrder()))
            .toList();
  }

  private static Quantity fullScale(Route route) {
    return Objects.requireNonNull(route.fullScale());
  }

  /** The least sensitive first. */
  List<Route> all() {
    return ranges;
  }

  /** The range of this name. */
  Route named(String name) throws InstrumentException {
    return ranges.stream()
        .filter(route -> route.name().equals(name))
        .findFirst()
        .orElseThrow(
            () ->
                new InstrumentException(
                    InstrumentException.Kind.RANGE,
                    "the bench has no input range \"" + name + "\""));
  }

  /** The one that is selected, or rests; null if there are none. */
  @Nullable Route now(Selection selection) {
    return ranges.stream()
        .filter(selection::holds)
        .findFirst()
        .orElse(ranges.isEmpty() ? null : ranges.get(0));
  }

  /** What captured volts are multiplied by in the range that is selected. */
  double scale(Selection selection) {
    return ranges.stream()
        .filter(selection::holds)
        .findFirst()
        .map(now -> fullScale(now).value() / fullScale(ranges.get(0)).value())
        .orElse(1.0);
  }
}
