package kitproof.plan;

import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.document.Binder;
import kitproof.document.Parsed;
import kitproof.document.YamlReader;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.procedure.StationResidual;
import kitproof.value.Conditions;
import kitproof.value.Node;
import kitproof.value.Problem;
import kitproof.value.Quantity;

/** Reads bench files. */
public final class BenchReader {
  private BenchReader() {}

  /** The bench, or everything that is wrong with its file. */
  public static Parsed<Bench> read(Path file) {
    return YamlReader.read(file).flatMap(BenchReader::read);
  }

  /** The bench, or everything that is wrong with this content. */
  public static Parsed<Bench> read(Node.Mapping source) {
    return new Binder().bind(source, BenchDocument.class).flatMap(d -> assemble(d, source));
  }

  private static Parsed<Bench> assemble(BenchDocument document, Node.Mapping source) {
    List<Problem> problems = new ArrayList<>();
    Map<String, Bench.Role> roles = new LinkedHashMap<>();
    Map<String, String> routeOwners = new HashMap<>();
    document
        .roles()
        .forEach(
            (name, role) -> {
              Node.Mapping place = Places.mapping(source, "roles", name);
              roles.put(name, role(name, role, place, problems));
              Node.Mapping routes = Places.mapping(place, "routes");
              for (Node.Entry entry : routes.entries()) {
                String owner = routeOwners.putIfAbsent(entry.key(), name);
                if (owner != null) {
                  problems.add(
                      Problem.of(
                          entry.location(),
                          "route \"" + entry.key() + "\" a second time",
                          "a name of its own: role " + owner + " has it already"));
                }
              }
            });
    Quantity fixed = document.fixedLoad();
    if (fixed != null && fixed.value() <= 0) {
      problems.add(
          Problem.of(
              Places.of(source, "fixed-load"), "a load of " + fixed, "a resistance above zero"));
    }
    if (fixed != null
        && roles.values().stream()
            .flatMap(role -> role.routes().stream())
            .anyMatch(route -> route.purpose() == Route.Purpose.LOAD)) {
      problems.add(
          Problem.of(
              Places.of(source, "fixed-load"),
              "a fixed load beside routes for loads",
              "one of the two: which load is on an output must be certain"));
    }
    if (fixed == null && document.fixedLoadRating() != null) {
      problems.add(
          Problem.of(
              Places.of(source, "fixed-load-rating"),
              "a rating without a fixed load",
              "fixed-load, or the rating on a load's route"));
    }
    problems.addAll(RouteRules.check(roles));
    problems.addAll(ResistorRules.check(document, source));
    if (!problems.isEmpty()) {
      return Parsed.wrong(problems);
    }
    return Parsed.of(
        new Bench(
                document.bench(),
                document.shop(),
                document.station(),
                document.time(),
                Optional.ofNullable(document.fixedLoad()),
                Optional.ofNullable(document.residual())
                    .map(r -> StationResidual.of(r.thd(), r.inputNoise(), r.outputNoise())),
                ratings(document),
                roles,
                source)
            .checkedBy(
                Optional.ofNullable(document.selfcheck())
                    .map(
                        check ->
                            new Bench.Selfcheck(
                                check.checkStandard(),
                                Duration.ofSeconds(Math.round(3600 * check.hours()))))));
  }

  private static Map<String, LoadRating> ratings(BenchDocument document) {
    Map<String, LoadRating> ratings = new HashMap<>();
    if (document.fixedLoadRating() != null) {
      ratings.put(
          Bench.FIXED_LOAD,
          new LoadRating(document.fixedLoadRating(), document.fixedLoadRatingTime()));
    }
    for (BenchDocument.Role role : document.roles().values()) {
      Map<String, BenchDocument.RouteEntry> routes = role.routes();
      if (routes != null) {
        routes.forEach(
            (name, entry) -> {
              if (entry.rating() != null) {
                String resistor = entry.resistor() == null ? "" : entry.resistor();
                ratings.put(name, new LoadRating(entry.rating(), entry.ratingTime(), resistor));
              }
            });
      }
    }
    return ratings;
  }

  private static Bench.Role role(
      String name, BenchDocument.Role role, Node.Mapping place, List<Problem> problems) {
    Node settings = role.settings();
    Node.Mapping section = new Node.Mapping(place.location(), List.of());
    if (settings instanceof Node.Mapping mapping) {
      section = mapping;
    } else if (settings != null) {
      problems.add(
          Problem.of(settings.location(), "settings: " + settings.describe(), "a section"));
    }
    List<Route> routes = new ArrayList<>();
    Map<String, BenchDocument.RouteEntry> entries = role.routes();
    if (entries != null) {
      if (role.kind() != InstrumentKind.SWITCHER) {
        problems.add(
            Problem.of(
                Places.of(place, "routes"), "routes of a " + role.kind(), "routes on a switcher"));
      }
      entries.forEach((route, entry) -> routes.add(route(route, entry, place, problems)));
    }
    return new Bench.Role(name, role.driver(), role.kind(), section, routes, place);
  }

  private static Route route(
      String name, BenchDocument.RouteEntry entry, Node.Mapping role, List<Problem> problems) {
    List<String> relays = entry.relays() == null ? List.of() : entry.relays();
    boolean isLoad = entry.purpose() == Route.Purpose.LOAD;
    if (isLoad != (entry.load() != null)) {
      problems.add(
          Problem.of(
              Places.of(role, "routes", name),
              isLoad ? "a load route without its resistance" : "a resistance without purpose: load",
              isLoad ? "load: as measured, such as \"8.02 ohm\"" : "purpose: load"));
    }
    boolean isRange = entry.purpose() == Route.Purpose.RANGE;
    if (isRange != (entry.fullScale() != null)) {
      problems.add(
          Problem.of(
              Places.of(role, "routes", name),
              isRange ? "an input range without its full scale" : "a full scale of no input range",
              isRange ? "full-scale: as measured, such as \"20 V\"" : "purpose: range"));
    }
    if (entry.fullScale() != null && entry.fullScale().value() <= 0) {
      problems.add(
          Problem.of(
              Places.of(role, "routes", name, "full-scale"),
              "a full scale of " + entry.fullScale(),
              "volts above zero"));
    }
    if (entry.load() != null && entry.load().value() <= 0) {
      problems.add(
          Problem.of(
              Places.of(role, "routes", name, "load"),
              "a load of " + entry.load(),
              "a resistance above zero"));
    }
    if ((entry.purpose() == Route.Purpose.MUTE || entry.purpose() == Route.Purpose.MAINS_OFF)
        && !relays.isEmpty()) {
      problems.add(
          Problem.of(
              Places.of(role, "routes", name, "relays"),
              "relays energised for " + entry.purpose(),
              "none: at rest the bench is safe, drive muted and mains off"));
    }
    Conditions when = entry.when() == null ? Conditions.NONE : entry.when();
    return new Route(
        name,
        entry.group(),
        relays,
        entry.settle(),
        entry.purpose(),
        when,
        entry.load(),
        entry.fullScale());
  }
}
