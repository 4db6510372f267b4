package kitproof.run;

import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import kitproof.driver.Route;
import kitproof.plan.Bench;

/**
 * Which routes have nothing to do with what may be driven, as a meter's leads: neither they nor
 * what they come in the place of share a relay with a load, a drive path, a range, the mains or the
 * leads for the cold unit.
 */
final class ApartFromDrive {
  private final Bench bench;

  ApartFromDrive(Bench bench) {
    this.bench = bench;
  }

  boolean isApart(Route route) {
    return bench.roles().values().stream()
        .map(Bench.Role::routes)
        .filter(ofBoard -> ofBoard.contains(route))
        .anyMatch(ofBoard -> isApart(route.group(), ofBoard));
  }

  private static boolean isApart(String group, List<Route> ofBoard) {
    Set<String> moving = new HashSet<>();
    for (Route route : ofBoard) {
      if (route.group().equals(group)) {
        moving.addAll(route.relays());
      }
    }
    return ofBoard.stream()
        .filter(route -> route.purpose() != Route.Purpose.OTHER)
        .noneMatch(
            route -> route.group().equals(group) || !Collections.disjoint(route.relays(), moving));
  }
}
