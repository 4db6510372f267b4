package kitproof.plan;

import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import kitproof.calibration.Known;
import kitproof.calibration.Standing;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.procedure.StationResidual;
import kitproof.procedure.StationSpur;
import kitproof.value.Node;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * The instruments of a bench and how they are wired, as its file says.
 *
 * @param name the bench's name
 * @param shop as published
 * @param station as published
 * @param time real or simulated
 * @param fixedLoad the load of a bench that does not switch loads
 * @param residual what the station itself adds, if it is stated
 * @param ratings what heat its loads stand, by route; of those that say. That of fixed loads stands
 *     under {@link #FIXED_LOAD}
 * @param roles by name, in the order of the file
 * @param source the file's content, for places in messages
 * @param standing how it stands to its calibration
 * @param selfcheck the check of the station that its runs need; empty if they need none
 */
public record Bench(
    String name,
    String shop,
    String station,
    TimeKind time,
    Optional<Quantity> fixedLoad,
    Optional<StationResidual> residual,
    Map<String, LoadRating> ratings,
    Map<String, Role> roles,
    Node.Mapping source,
    Standing standing,
    Optional<Selfcheck> selfcheck) {
  /**
   * The check of the station itself.
   *
   * @param checkStandard serial number of the check standard, the unit of such runs
   * @param every how long a check holds
   */
  public record Selfcheck(String checkStandard, Duration every) {}

  /** What a fixed load is called; each channel has one of its own. */
  public static final String FIXED_LOAD = "fixed load";

  /**
   * One instrument.
   *
   * @param name the role
   * @param driver the driver's id
   * @param kind what it is
   * @param settings the driver's own
   * @param routes of a switcher
   * @param source its section, for places in messages
   */
  public record Role(
      String name,
      String driver,
      InstrumentKind kind,
      Node.Mapping settings,
      List<Route> routes,
      Node.Mapping source) {
    public Role {
      routes = List.copyOf(routes);
    }

    /**
     * The functions of a meter as the bench file has them, in its order; none of anything else, or
     * of a driver that has them by itself.
     */
    public Set<String> meterFunctions() {
      Set<String> names = new LinkedHashSet<>();
      if (settings.get("functions").orElse(null) instanceof Node.Mapping functions) {
        functions.entries().forEach(entry -> names.add(entry.key()));
      }
      return names;
    }

    private Role corrected(Standing standing) {
      List<Route> corrected =
          routes.stream()
              .map(
                  route ->
                      route.load() == null
                          ? route
                          : resistance(standing, route.name()).map(route::loadedWith).orElse(route))
              .toList();
      return new Role(name, driver, kind, settings, corrected, source);
    }
  }

  /** Of a bench of whose calibration nothing is said. */
  public Bench(
      String name,
      String shop,
      String station,
      TimeKind time,
      Optional<Quantity> fixedLoad,
      Optional<StationResidual> residual,
      Map<String, LoadRating> ratings,
      Map<String, Role> roles,
      Node.Mapping source) {
    this(
        name,
        shop,
        station,
        time,
        fixedLoad,
        residual,
        ratings,
        roles,
        source,
        Standing.NONE,
        Optional.empty());
  }

  /** The same, whose runs need this check of the station. */
  public Bench checkedBy(Optional<Selfcheck> check) {
    return new Bench(
        name, shop, station, time, fixedLoad, residual, ratings, roles, source, standing, check);
  }

  /** The same with loads as calibrated, if it is. */
  public Bench standing(Standing now) {
    Map<String, Role> corrected = new LinkedHashMap<>();
    roles.forEach((role, of) -> corrected.put(role, of.corrected(now)));
    return new Bench(
        name,
        shop,
        station,
        time,
        fixedLoad.map(load -> resistance(now, FIXED_LOAD).orElse(load)),
        residual,
        ratings,
        corrected,
        source,
        now,
        selfcheck);
  }

  /**
   * The most that a load changes per kelvin, percent, if the file says it.
   *
   * @param route the route that connects it, or {@link #FIXED_LOAD}
   */
  public Optional<Quantity> loadPerKelvin(String route) {
    if (route.equals(FIXED_LOAD)) {
      return percent(source.get("fixed-load-per-kelvin"));
    }
    return roles.values().stream()
        .map(role -> role.source().get("routes").orElse(null))
        .filter(Node.Mapping.class::isInstance)
        .map(routes -> ((Node.Mapping) routes).get(route).orElse(null))
        .filter(Node.Mapping.class::isInstance)
        .map(entry -> percent(((Node.Mapping) entry).get("load-per-kelvin")))
        .flatMap(Optional::stream)
        .findFirst();
  }

  /** Single lines that the station shows without a unit, if the file tells them. */
  public List<StationSpur> spurs() {
    List<StationSpur> spurs = new ArrayList<>();
    if (source.get("residual").orElse(null) instanceof Node.Mapping residual
        && residual.get("spurs").orElse(null) instanceof Node.Listing told) {
      for (Node one : told.items()) {
        if (one instanceof Node.Mapping spur) {
          spurs.add(
              new StationSpur(
                  quantity(spur, "at", Unit.HERTZ, 0),
                  ratio(spur, "input"),
                  ratio(spur, "output")));
        }
      }
    }
    return spurs;
  }

  private static double ratio(Node.Mapping spur, String key) {
    return Math.pow(10, quantity(spur, key, Unit.DECIBEL, Double.NEGATIVE_INFINITY) / 20);
  }

  /** What the reader has found to be a quantity of this unit. */
  private static double quantity(Node.Mapping of, String key, Unit unit, double otherwise) {
    return of.get(key).orElse(null) instanceof Node.Scalar scalar
        ? Quantity.parse(scalar.text(), unit).in(unit)
        : otherwise;
  }

  /** What the reader has found to be a percentage. */
  private static Optional<Quantity> percent(Optional<Node> node) {
    return node.filter(Node.Scalar.class::isInstance)
        .map(scalar -> Quantity.parse(((Node.Scalar) scalar).text(), Unit.PERCENT));
  }

  private static Optional<Quantity> resistance(Standing standing, String route) {
    return standing
        .calibration()
        .flatMap(calibration -> calibration.resistance(route))
        .map(Known::value);
  }

  /** Every route of every switcher. */
  public List<Route> routes() {
    List<Route> all = new ArrayList<>();
    roles.values().forEach(role -> all.addAll(role.routes()));
    return all;
  }
}
