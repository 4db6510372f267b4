package kitproof.guide;

import java.time.Duration;
import java.util.List;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.LoadRating;
import kitproof.report.Markup;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/** Every group of routes with what the file says of each. */
final class GroupPages {
  private static final List<String> HEADS =
      List.of(
          "Route",
          "Energised",
          "Purpose",
          "Load",
          "Rating",
          "Input range",
          "Settle",
          "Conditions",
          "Good");

  private final Markup page;

  GroupPages(Markup page) {
    this.page = page;
  }

  void write(Bench bench, Wiring wiring) {
    page.begin("section").element("h2", "Groups of routes");
    page.element(
        "p",
        "Of each group one route stands at a time. A route energises the relays named and leaves the"
            + " group's others at rest. Conditions are those under which a step of a plan wants the"
            + " route; a dash: asked for by name, or chosen by the station. A box is for the one who"
            + " has energised the relays and measured what then stands.");
    for (Wiring.Group group : wiring.groups()) {
      page.begin("section", "class", "group");
      page.element("h3", "Group " + group.name() + ", on " + group.switcher());
      Table.begin(page, "routes", HEADS);
      page.begin("tbody");
      group.routes().forEach(route -> row(route, bench.ratings().get(route.name())));
      page.end().end().end();
    }
    page.end();
  }

  private void row(Route route, @Nullable LoadRating rating) {
    page.begin("tr").element("th", route.name(), "scope", "row");
    for (String cell :
        List.of(
            route.relays().isEmpty() ? "none: at rest" : String.join(", ", route.relays()),
            route.purpose().toString(),
            words(route.load()),
            rating == null
                ? Table.orDash("")
                : rating.power().display(6) + ", averaged over " + time(rating.over()),
            words(route.fullScale()),
            time(route.settle()),
            Table.orDash(route.when().toString()))) {
      page.element("td", cell);
    }
    Table.box(page);
    page.end();
  }

  private static String words(@Nullable Quantity quantity) {
    return quantity == null ? Table.orDash("") : quantity.display(6);
  }

  /** "30 ms", "1.5 s". */
  static String time(Duration time) {
    return Quantity.of(time.toNanos() / 1e9, Unit.SECOND).display(6);
  }
}
