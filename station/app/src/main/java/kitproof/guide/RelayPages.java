package kitproof.guide;

import java.util.List;
import java.util.stream.Collectors;
import kitproof.driver.Route;
import kitproof.report.Markup;

/** Every relay with what it does. */
final class RelayPages {
  private final Markup page;

  RelayPages(Markup page) {
    this.page = page;
  }

  void write(Wiring wiring) {
    page.begin("section").element("h2", "Relays");
    page.element(
        "p",
        "One line for each route that energises the relay, with what would stand if this relay alone"
            + " were at rest. \"In the settings\" is what the file says to the driver, such as the"
            + " board's number of it; manuals may count from another number.");
    Table.begin(
        page,
        "relays",
        List.of(
            "Relay",
            "In the settings",
            "Group",
            "At rest stands",
            "Energised stands",
            "Energised with it"));
    wiring.relays().forEach(this::relay);
    page.end().end();
  }

  private void relay(Wiring.Relay relay) {
    page.begin("tbody");
    int lines = Math.max(1, relay.uses().size());
    String span = Integer.toString(lines);
    page.begin("tr").element("th", relay.name(), "scope", "rowgroup", "rowspan", span);
    page.element("td", Table.orDash(relay.setting()), "rowspan", span);
    if (relay.uses().isEmpty()) {
      page.element("td", "no route energises it", "colspan", "4").end();
    }
    for (int i = 0; i < relay.uses().size(); i++) {
      if (i > 0) {
        page.begin("tr");
      }
      line(relay.name(), relay.uses().get(i));
      page.end();
    }
    page.end();
  }

  private void line(String relay, Wiring.Use use) {
    String others =
        use.route().relays().stream()
            .filter(r -> !r.equals(relay))
            .distinct()
            .collect(Collectors.joining(", "));
    page.element("td", use.group().name());
    page.element(
        "td",
        use.group().without(relay, use.route()).map(Route::name).orElse("no route of the file"));
    page.element("td", use.route().name()).element("td", Table.orDash(others));
  }
}
