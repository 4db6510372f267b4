package kitproof.driver.kit;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.RelayBoard;
import kitproof.driver.Route;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.Switcher;

/**
 * A relay board in memory that keeps what its relays did and when.
 *
 * <p>Strict: it has only the relays it was made with. Put the real {@link RouteSwitcher} in front
 * with {@link #switcher}, so that tests of the station see what the relays truly do.
 */
public final class FakeRelayBoard implements RelayBoard {
  /**
   * Which relays were energised from this bench time on.
   *
   * @param nanos bench time
   * @param energised relay names, sorted
   */
  public record Moment(long nanos, Set<String> energised) {}

  private final Calls calls;
  private final String role;
  private final Set<String> relays;
  private final Set<String> on = new TreeSet<>();
  private final Map<String, Boolean> stuck = new HashMap<>();
  private final List<Moment> moments = new ArrayList<>();
  private boolean closed;

  public FakeRelayBoard(Calls calls, String role, Set<String> relays) {
    this.calls = calls;
    this.role = role;
    this.relays = Set.copyOf(relays);
  }

  /** A board with the relays that the routes name. */
  public static FakeRelayBoard of(Calls calls, String role, List<Route> routes) {
    Set<String> relays = new TreeSet<>();
    routes.forEach(route -> relays.addAll(route.relays()));
    return new FakeRelayBoard(calls, role, relays);
  }

  /** The real switcher in front of this board. */
  public Switcher switcher(List<Route> routes) throws InstrumentException {
    return RouteSwitcher.open(this, routes, calls.clock());
  }

  /** From now on this relay stays as it is put here, whatever it is told. */
  public FakeRelayBoard stick(String relay, boolean energised) {
    stuck.put(relay, energised);
    move(relay, energised);
    return this;
  }

  /** Every change so far, oldest first. */
  public synchronized List<Moment> moments() {
    return List.copyOf(moments);
  }

  /** The relays that are truly energised now, whether or not the board can still be asked. */
  public synchronized Set<String> now() {
    return Set.copyOf(on);
  }

  public boolean isClosed() {
    return closed;
  }

  @Override
  public Identity identity() {
    return new Identity("Fake", "relay board", role, "1");
  }

  @Override
  public void set(Map<String, Boolean> wanted) throws InstrumentException {
    Fakes.requireOpen(closed, role);
    calls.enter(role, "set " + new TreeMap<>(wanted));
    for (String relay : wanted.keySet()) {
      if (!relays.contains(relay)) {
        throw new InstrumentException(
            InstrumentException.Kind.RANGE, role + " has no relay " + relay);
      }
    }
    wanted.forEach((relay, energised) -> move(relay, stuck.getOrDefault(relay, energised)));
  }

  @Override
  public Set<String> energised() throws InstrumentException {
    Fakes.requireOpen(closed, role);
    calls.enter(role, "read back");
    return now();
  }

  @Override
  public void close() throws InstrumentException {
    if (!closed) {
      closed = true;
      calls.enter(role, "close");
    }
  }

  private synchronized void move(String relay, boolean energised) {
    boolean changed = energised ? on.add(relay) : on.remove(relay);
    if (changed) {
      moments.add(new Moment(calls.clock().nanos(), Set.copyOf(on)));
    }
  }
}
