package kitproof.plan;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import kitproof.driver.Route;
import kitproof.value.Conditions;

/**
 * Which routes a step wants when it measures one channel or, under {@code channel: both}, all of
 * them at once.
 *
 * <p>A step for all channels wants the load, mode or probe that each single channel would want. Its
 * drive is the route for {@code channel: both} or, on a bench that switches each channel's drive by
 * itself, the routes of all channels.
 */
public final class ChannelRoutes {
  /** The condition that names a channel. */
  public static final String CHANNEL = "channel";

  /** The value that means all channels. */
  public static final String BOTH = "both";

  private final List<Route> routes;

  public ChannelRoutes(Bench bench) {
    this.routes = bench.routes();
  }

  /** The channels that the bench's routes know, in the order of the file; may be none. */
  public List<String> channels() {
    Set<String> names = new LinkedHashSet<>();
    for (Route route : routes) {
      String name = route.when().values().get(CHANNEL);
      if (name != null && !name.equals(BOTH)) {
        names.add(name);
      }
    }
    return List.copyOf(names);
  }

  /** Whether these conditions mean all channels at once. */
  public static boolean meansAll(Conditions conditions) {
    return BOTH.equals(conditions.values().get(CHANNEL));
  }

  /** These conditions for each channel they mean: one, unless they say both. */
  public List<Conditions> each(Conditions conditions) {
    return meansAll(conditions) && !channels().isEmpty()
        ? channels().stream().map(name -> conditions.with(CHANNEL, name)).toList()
        : List.of(conditions);
  }

  /** Loads, modes and probes that these conditions want; neither drive nor mains. */
  public List<Route> wanted(Conditions conditions) {
    return routes.stream()
        .filter(route -> isForSteps(route) && !route.when().isEmpty())
        .filter(
            route ->
                conditions.satisfy(route.when())
                    || each(conditions).stream().anyMatch(one -> one.satisfy(route.when())))
        .toList();
  }

  /** The drive that these conditions want; empty if the bench cannot drive every channel meant. */
  public List<Route> drive(Conditions conditions) {
    List<Route> direct = driveFor(conditions);
    if (!direct.isEmpty()) {
      return direct;
    }
    List<Route> all = new ArrayList<>();
    for (Conditions one : each(conditions)) {
      List<Route> own = driveFor(one);
      if (own.isEmpty()) {
        return List.of();
      }
      all.addAll(own);
    }
    return all;
  }

  private List<Route> driveFor(Conditions conditions) {
    return routes.stream()
        .filter(r -> r.purpose() == Route.Purpose.DRIVE && conditions.satisfy(r.when()))
        .toList();
  }

  /** The channel on whose output a load is: its own or its group's condition; empty if unknown. */
  public String channelOf(Route load) {
    String own = load.when().values().get(CHANNEL);
    if (own != null) {
      return own;
    }
    Set<String> ofGroup = new LinkedHashSet<>();
    for (Route route : routes) {
      String name = route.when().values().get(CHANNEL);
      if (route.group().equals(load.group()) && name != null) {
        ofGroup.add(name);
      }
    }
    return ofGroup.size() == 1 ? ofGroup.iterator().next() : "";
  }

  /**
   * Whether a step may ask for this route; drive, mains and ranges are the station's own matter.
   */
  public static boolean isForSteps(Route route) {
    return !carriesDriveOrMains(route) && route.purpose() != Route.Purpose.RANGE;
  }

  private static boolean carriesDriveOrMains(Route route) {
    return switch (route.purpose()) {
      case MUTE, DRIVE, MAINS_OFF, MAINS_LIMITED, MAINS_DIRECT -> true;
      case LOAD, COLD, RANGE, OTHER -> false;
    };
  }
}
