package kitproof.plan;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import kitproof.driver.Route;
import kitproof.value.Node;
import kitproof.value.Problem;

/** Routes to one resistor, whose heat is one: what they say of it must be the same. */
final class ResistorRules {
  private final Map<String, Told> resistors = new HashMap<>();
  private final List<Problem> problems = new ArrayList<>();

  /** Who said it first. */
  private record Told(String route, BenchDocument.RouteEntry entry) {}

  private ResistorRules() {}

  static List<Problem> check(BenchDocument document, Node.Mapping source) {
    ResistorRules rules = new ResistorRules();
    document
        .roles()
        .forEach(
            (role, entry) -> {
              if (entry.routes() != null) {
                Node.Mapping place = Places.mapping(source, "roles", role);
                entry.routes().forEach((name, route) -> rules.route(name, route, place));
              }
            });
    return rules.problems;
  }

  private void route(String name, BenchDocument.RouteEntry entry, Node.Mapping role) {
    String resistor = entry.resistor();
    if (resistor == null) {
      return;
    }
    if (entry.purpose() != Route.Purpose.LOAD || entry.rating() == null) {
      problems.add(
          Problem.of(
              Places.of(role, "routes", name, "resistor"),
              entry.purpose() == Route.Purpose.LOAD
                  ? "a resistor without a rating"
                  : "a resistor of no load",
              "a load with a rating: it is the heat of both that is one"));
      return;
    }
    Told first = resistors.putIfAbsent(resistor, new Told(name, entry));
    if (first != null && !sameRating(first.entry, entry)) {
      problems.add(
          Problem.of(
              Places.of(role, "routes", name, "rating"),
              "resistor \""
                  + resistor
                  + "\" rated "
                  + words(entry)
                  + " here, and "
                  + words(first.entry)
                  + " by route \""
                  + first.route
                  + "\"",
              "one rating of one resistor"));
    }
  }

  private static boolean sameRating(BenchDocument.RouteEntry a, BenchDocument.RouteEntry b) {
    return Objects.requireNonNull(a.rating()).compareTo(Objects.requireNonNull(b.rating())) == 0
        && a.ratingTime().equals(b.ratingTime());
  }

  private static String words(BenchDocument.RouteEntry entry) {
    return Objects.requireNonNull(entry.rating()).display()
        + " over "
        + entry.ratingTime().toSeconds()
        + " s";
  }
}
