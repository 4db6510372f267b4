package kitproof.run;

import java.util.Comparator;
import java.util.Optional;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.value.Conditions;

/**
 * Which of a bench's mains routes is meant. A bench may have several with limiter, told apart by
 * conditions, such as {@code lamps: 1} and {@code lamps: 2}.
 */
final class MainsRoute {
  private MainsRoute() {}

  /** The route for this purpose that wants most of these conditions and nothing else. */
  static Optional<Route> of(Bench bench, Route.Purpose purpose, Conditions conditions) {
    return bench.routes().stream()
        .filter(route -> route.purpose() == purpose && conditions.satisfy(route.when()))
        .max(Comparator.comparingInt(route -> route.when().values().size()));
  }
}
