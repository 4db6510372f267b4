package kitproof.run;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import kitproof.driver.AudioPort;
import kitproof.driver.AudioPorts;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.plan.Bench;
import kitproof.plan.ChannelRoutes;
import kitproof.value.Quantity;

/** The loads that the outputs end in at the moment. */
final class SelectedLoads {
  private final Bench bench;
  private final ChannelRoutes channels;
  private final Selection selection;
  private List<Route> loads = List.of();

  /** None is selected yet. */
  SelectedLoads(Bench bench, ChannelRoutes channels, Selection selection) {
    this.bench = bench;
    this.channels = channels;
    this.selection = selection;
  }

  /** Their routes. */
  List<Route> routes() {
    return loads;
  }

  /** Those among these routes are selected now, or will be. */
  void are(List<Route> routes) {
    loads = routes.stream().filter(r -> r.purpose() == Route.Purpose.LOAD).toList();
  }

  /** This route has come in the place of the load of its group, if there is one. */
  void exchanged(Route route) {
    loads = inPlace(loads, route);
  }

  /** The routes with this one in the place of what is of its group. */
  static List<Route> inPlace(List<Route> routes, Route of) {
    return routes.stream().map(r -> r.group().equals(of.group()) ? of : r).toList();
  }

  /**
   * The load on a channel's output, as the step selected it; every load is read back as connected.
   *
   * @param channel the channel's name; empty for the only one
   */
  Quantity on(String channel) throws InstrumentException {
    for (Route route : loads) {
      if (!selection.isReadBack(route)) {
        throw unloaded("load \"" + route.name() + "\" is not read back as connected");
      }
    }
    String which = channel.isEmpty() ? "" : " for channel " + channel;
    return firstOn(channel)
        .or(bench::fixedLoad)
        .orElseThrow(() -> unloaded("the step selects no load" + which));
  }

  /** The route of the load on a channel's output; empty if there is none. */
  String routeOn(String channel) {
    for (Route route : loads) {
      String on = channels.channelOf(route);
      if (channel.isEmpty() || on.isEmpty() || on.equals(channel)) {
        return route.name();
      }
    }
    return bench.fixedLoad().isPresent() ? Bench.FIXED_LOAD : "";
  }

  /** By channel, nothing read back; without a name the first. */
  Map<String, Quantity> by(AudioPorts ports) {
    Map<String, Quantity> found = new HashMap<>();
    List<String> names = new ArrayList<>(ports.outputs().stream().map(AudioPort::name).toList());
    names.add("");
    for (String name : names) {
      firstOn(name).or(bench::fixedLoad).ifPresent(load -> found.put(name, load));
    }
    return found;
  }

  private Optional<Quantity> firstOn(String channel) {
    return loads.stream()
        .filter(route -> channel.isEmpty() || isOn(route, channel))
        .findFirst()
        .map(route -> Objects.requireNonNull(route.load()));
  }

  private boolean isOn(Route route, String channel) {
    String on = channels.channelOf(route);
    return on.isEmpty() || on.equals(channel);
  }

  private static InstrumentException unloaded(String why) {
    return new InstrumentException(
        InstrumentException.Kind.OTHER, why + ": an output without load is not driven");
  }
}
