package kitproof.guide;

import java.util.List;
import kitproof.plan.Bench;
import kitproof.report.Markup;
import kitproof.value.Node;

/** The instruments and what the file sets of them. */
final class RolePages {
  private final Markup page;

  RolePages(Markup page) {
    this.page = page;
  }

  void write(Bench bench) {
    page.begin("section").element("h2", "Roles");
    Table.begin(page, "roles", List.of("Role", "Kind", "Driver", "Settings"));
    page.begin("tbody");
    for (Bench.Role role : bench.roles().values()) {
      page.begin("tr").element("th", role.name(), "scope", "row");
      page.element("td", role.kind().toString()).element("td", role.driver());
      settings(role);
      page.end();
    }
    page.end().end().end();
  }

  private void settings(Bench.Role role) {
    page.begin("td");
    if (role.settings().entries().isEmpty()) {
      page.words(Table.orDash(""));
    } else {
      page.begin("ul");
      for (Node.Entry entry : role.settings().entries()) {
        boolean listedApart = !role.routes().isEmpty() && entry.key().equals("relays");
        if (listedApart && entry.value() instanceof Node.Mapping relays) {
          page.element("li", "relays: " + relays.entries().size() + ", see Relays");
        } else if (entry.value() instanceof Node.Mapping section) {
          page.begin("li").words(entry.key() + ":").begin("ul");
          section
              .entries()
              .forEach(e -> page.element("li", e.key() + ": " + SettingWords.of(e.value())));
          page.end().end();
        } else {
          page.element("li", entry.key() + ": " + SettingWords.of(entry.value()));
        }
      }
      page.end();
    }
    page.end();
  }
}
