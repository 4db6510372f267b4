package kitproof.guide;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.LoadRating;
import kitproof.report.Markup;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/** Every group of routes with what the file says of each. */
final class GroupPages {
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
      table(group, bench);
      page.end();
    }
    page.end();
  }

  /** Without the columns of which no route of the group says anything. */
  private void table(Wiring.Group group, Bench bench) {
    Map<String, List<String>> columns = new LinkedHashMap<>();
    List<Route> routes = group.routes();
    columns.put("Energised", cells(routes, GroupPages::relays));
    columns.put("Purpose", cells(routes, r -> r.purpose().toString()));
    columns.put("Load", cells(routes, r -> words(r.load())));
    columns.put("Rating", cells(routes, r -> rating(bench.ratings().get(r.name()))));
    columns.put("Resistor", cells(routes, r -> resistor(bench.ratings().get(r.name()))));
    columns.put("Input range", cells(routes, r -> words(r.fullScale())));
    columns.put("Settle", cells(routes, r -> Table.time(r.settle())));
    columns.put("Conditions", cells(routes, r -> r.when().toString()));
    columns.values().removeIf(cells -> cells.stream().allMatch(String::isEmpty));
    List<String> heads = new ArrayList<>(columns.keySet());
    heads.add(0, "Route");
    heads.add("Good");
    Table.begin(page, "routes", heads);
    page.begin("tbody");
    for (int i = 0; i < routes.size(); i++) {
      page.begin("tr").element("th", routes.get(i).name(), "scope", "row");
      for (List<String> cells : columns.values()) {
        Table.cell(page, Table.orDash(cells.get(i)));
      }
      Table.box(page);
      page.end();
    }
    page.end().end();
  }

  private static List<String> cells(List<Route> routes, Function<Route, String> cell) {
    return routes.stream().map(cell).toList();
  }

  private static String relays(Route route) {
    return route.relays().isEmpty() ? "none: at rest" : String.join(", ", route.relays());
  }

  private static String rating(@Nullable LoadRating rating) {
    return rating == null ? "" : LoadPages.rating(rating);
  }

  private static String resistor(@Nullable LoadRating rating) {
    return rating == null ? "" : rating.resistor();
  }

  private static String words(@Nullable Quantity quantity) {
    return quantity == null ? "" : Table.value(quantity);
  }
}
