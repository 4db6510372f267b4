package kitproof.guide;

import java.util.List;
import java.util.stream.Collectors;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.report.Markup;

/** What stands with every relay at rest, to be measured. */
final class RestPages {
  private final Markup page;

  RestPages(Markup page) {
    this.page = page;
  }

  void write(Bench bench, Wiring wiring) {
    page.begin("section").element("h2", "At rest: the safe state");
    page.element(
        "p",
        "Take the supply of the relay board away, so that no relay can be energised, and measure."
            + " Every line must hold before the first unit is connected.");
    Table.begin(
        page,
        "rest",
        List.of("Group", "Stands at rest", "To see with a meter", "Measured", "Good"));
    page.begin("tbody");
    for (Wiring.Group group : wiring.groups()) {
      if (group.atRest().isEmpty()) {
        row(
            group.name(),
            "no route of the file",
            "Nothing is promised: find out what "
                + String.join(", ", group.relays())
                + " leave connected");
      }
      for (Route route : group.atRest()) {
        row(group.name(), route.name(), seen(group, route));
      }
    }
    bench
        .fixedLoad()
        .ifPresent(
            load ->
                row(
                    "fixed load",
                    load.display(6),
                    "Every output: " + load.display(6) + " across its terminals"));
    page.end().end().end();
  }

  private void row(String group, String stands, String seen) {
    page.begin("tr").element("th", group, "scope", "row");
    page.element("td", stands).element("td", seen);
    page.begin("td", "class", "measured").end();
    Table.box(page);
    page.end();
  }

  private static String seen(Wiring.Group group, Route route) {
    String others =
        group.routes().stream()
            .filter(r -> r != route)
            .map(Route::name)
            .collect(Collectors.joining("; "));
    return switch (route.purpose()) {
      case MAINS_OFF ->
          "No connection from the bench's supply to the unit's outlet on any conductor that "
              + String.join(", ", group.relays())
              + " switch; the protective earth goes through";
      case MUTE -> "No connection from any output of the interface to any input of the unit";
      case LOAD ->
          (route.load() == null ? "The load" : route.load().display(6))
              + " across the output's terminals"
              + where(route);
      case COLD -> "The meter's leads reach none of: " + others;
      case RANGE ->
          (route.fullScale() == null
                  ? "The least sensitive range"
                  : "The range of " + route.fullScale().display(6) + " rms, the least sensitive,")
              + " before the interface's inputs";
      case OTHER -> "The connection of \"" + route.name() + "\"" + none(others);
      case DRIVE, MAINS_LIMITED, MAINS_DIRECT ->
          throw new IllegalStateException(
              "a bench file with " + route.name() + " at rest is refused");
    };
  }

  private static String where(Route route) {
    return route.when().isEmpty() ? "" : ": " + route.when();
  }

  private static String none(String others) {
    return others.isEmpty() ? "" : "; not that of: " + others;
  }
}
