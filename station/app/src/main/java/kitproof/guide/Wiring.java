package kitproof.guide;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.value.Node;

/** Groups and relays of a bench, in the order of its file. */
final class Wiring {
  private final List<Group> groups;
  private final List<Relay> relays;

  /**
   * Routes that exclude each other.
   *
   * @param switcher the role that has them
   */
  record Group(String switcher, String name, List<Route> routes) {
    /** What stands while every relay of the group is at rest. */
    List<Route> atRest() {
      return routes.stream().filter(r -> r.relays().isEmpty()).toList();
    }

    /** Every relay of the group once. */
    Set<String> relays() {
      Set<String> all = new LinkedHashSet<>();
      routes.forEach(r -> all.addAll(r.relays()));
      return all;
    }

    /** The group's route whose relays are those of {@code route} without this one. */
    Optional<Route> without(String relay, Route route) {
      Set<String> rest = new LinkedHashSet<>(route.relays());
      rest.remove(relay);
      return routes.stream().filter(r -> Set.copyOf(r.relays()).equals(rest)).findFirst();
    }

    /** What the group is for; all of its routes are of one kind. */
    Route.Purpose purpose() {
      return routes.get(0).purpose();
    }
  }

  /**
   * One relay.
   *
   * @param setting what the driver's settings say of it; empty if nothing
   * @param uses every route that energises it, with its group
   */
  record Relay(String switcher, String name, String setting, List<Use> uses) {}

  /** A route that energises a relay. */
  record Use(Group group, Route route) {}

  private Wiring(List<Group> groups, List<Relay> relays) {
    this.groups = groups;
    this.relays = relays;
  }

  static Wiring of(Bench bench) {
    List<Group> groups = new ArrayList<>();
    List<Relay> relays = new ArrayList<>();
    for (Bench.Role role : bench.roles().values()) {
      List<Group> own = groups(role);
      groups.addAll(own);
      Map<String, String> settings = settings(role);
      Set<String> names = new LinkedHashSet<>(settings.keySet());
      own.forEach(group -> names.addAll(group.relays()));
      for (String name : names) {
        relays.add(new Relay(role.name(), name, settings.getOrDefault(name, ""), uses(name, own)));
      }
    }
    return new Wiring(groups, relays);
  }

  List<Group> groups() {
    return groups;
  }

  /** Those of the settings and those of the routes. */
  List<Relay> relays() {
    return relays;
  }

  private static List<Group> groups(Bench.Role role) {
    Map<String, List<Route>> byName = new LinkedHashMap<>();
    for (Route route : role.routes()) {
      byName.computeIfAbsent(route.group(), name -> new ArrayList<>()).add(route);
    }
    List<Group> groups = new ArrayList<>();
    byName.forEach((name, routes) -> groups.add(new Group(role.name(), name, routes)));
    return groups;
  }

  /** The board's own words for its relays, where the driver's settings list them by name. */
  private static Map<String, String> settings(Bench.Role role) {
    Map<String, String> settings = new LinkedHashMap<>();
    if (!role.routes().isEmpty()
        && role.settings().get("relays").orElse(null) instanceof Node.Mapping relays) {
      for (Node.Entry entry : relays.entries()) {
        settings.put(entry.key(), SettingWords.of(entry.value()));
      }
    }
    return settings;
  }

  private static List<Use> uses(String relay, List<Group> groups) {
    List<Use> uses = new ArrayList<>();
    for (Group group : groups) {
      for (Route route : group.routes()) {
        if (route.relays().contains(relay)) {
          uses.add(new Use(group, route));
        }
      }
    }
    return uses;
  }
}
