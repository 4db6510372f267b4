package kitproof.driver;

import java.time.Duration;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;

/**
 * Named routes over a {@link RelayBoard}: break before make, exclusion, settling, read-back.
 *
 * <p>Promises that no two routes of a group are ever energised together, and that what it reports
 * as selected has been read back from the board. Relays that the old and the new route share stay
 * energised (mains does not drop out when the limiter is bridged). On opening it commands the safe
 * state. It does not know about drive and loads; the sequencer mutes before it changes a load. One
 * call is at work at a time: closing from another thread waits for it, as each has a deadline.
 */
public final class RouteSwitcher implements Switcher {
  private static final Set<Route.Purpose> DRIVE_STAGE =
      Set.of(Route.Purpose.MUTE, Route.Purpose.DRIVE);

  private final RelayBoard board;
  private final Map<String, Route> routes = new LinkedHashMap<>();
  private final Map<String, Route> selected = new HashMap<>();

  /** Relays that have not obeyed, as has been told. */
  private final Set<String> stuck = new TreeSet<>();

  /** Relays whose last command was not seen to its end: they may be either way. */
  private final Set<String> unsure = new TreeSet<>();

  private final BenchClock clock;
  private boolean closed;

  private RouteSwitcher(RelayBoard board, List<Route> routes, BenchClock clock) {
    this.board = board;
    this.clock = clock;
    for (Route route : routes) {
      this.routes.put(route.name(), route);
    }
  }

  /** Takes over the board and commands the safe state; closes the board if that fails. */
  public static RouteSwitcher open(RelayBoard board, List<Route> routes, BenchClock clock)
      throws InstrumentException {
    RouteSwitcher switcher = new RouteSwitcher(board, routes, clock);
    try {
      switcher.openAll();
    } catch (InstrumentException e) {
      try {
        board.close();
      } catch (InstrumentException second) {
        e.addSuppressed(second);
      }
      throw e;
    }
    return switcher;
  }

  @Override
  public Identity identity() {
    return board.identity();
  }

  /**
   * Besides asking the board who it is, where it can tell, makes sure that its relays are as they
   * were left. A board that was started anew or exchanged has let go of them.
   */
  @Override
  public synchronized void recognise() throws InstrumentException {
    checkOpen();
    board.recognise();
    Set<String> left = new TreeSet<>();
    selected.values().forEach(route -> left.addAll(route.relays()));
    Set<String> wrong = new TreeSet<>();
    Set<String> on = board.energised();
    for (Route route : routes.values()) {
      for (String relay : route.relays()) {
        boolean known = !stuck.contains(relay) && !unsure.contains(relay);
        if (known && on.contains(relay) != left.contains(relay)) {
          wrong.add(relay);
        }
      }
    }
    if (!wrong.isEmpty()) {
      throw new InstrumentException(
          InstrumentException.Kind.PROTOCOL,
          "relay "
              + String.join(", ", wrong)
              + " moved without a command (read back from "
              + board.identity()
              + "): the board was started anew, exchanged, or switched by another hand");
    }
  }

  @Override
  public synchronized void select(String name) throws InstrumentException {
    checkOpen();
    Route route = routes.get(name);
    if (route == null) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE, "the bench has no route \"" + name + "\"");
    }
    Set<String> before = board.energised();
    unsure.addAll(relaysOf(route.group()));
    Set<String> breaking = relaysOf(route.group());
    breaking.removeAll(route.relays());
    breaking.removeAll(heldByOtherGroups(route.group()));
    breaking.retainAll(before);
    if (!breaking.isEmpty()) {
      selected.remove(route.group());
      switchTo(breaking, false);
      pause(settle(route, breaking));
      verify(breaking, false);
    }
    Set<String> making = new TreeSet<>(route.relays());
    making.removeAll(before);
    if (!making.isEmpty()) {
      switchTo(making, true);
      pause(route.settle());
    }
    verify(new TreeSet<>(route.relays()), true);
    selected.put(route.group(), route);
    unsure.removeAll(relaysOf(route.group()));
  }

  @Override
  public synchronized Set<String> closed() throws InstrumentException {
    checkOpen();
    Set<String> on = board.energised();
    Set<String> names = new LinkedHashSet<>();
    for (Route route : routes.values()) {
      Set<String> others = relaysOf(route.group());
      others.removeAll(route.relays());
      others.removeAll(heldByOtherGroups(route.group()));
      others.retainAll(on);
      if (on.containsAll(route.relays()) && others.isEmpty()) {
        names.add(route.name());
      }
    }
    return names;
  }

  /**
   * Lets go of drive, then of mains, then of the rest. Where drive has not let go, loads stay as
   * they are: an output that is perhaps driven must not be without one while they move.
   */
  @Override
  public synchronized void openAll() throws InstrumentException {
    checkOpen();
    selected.clear();
    routes.values().forEach(route -> unsure.addAll(route.relays()));
    @Nullable InstrumentException first = null;
    boolean muted = true;
    Set<String> done = new TreeSet<>();
    for (Set<Route.Purpose> stage :
        List.<Set<Route.Purpose>>of(
            DRIVE_STAGE,
            EnumSet.of(
                Route.Purpose.MAINS_OFF, Route.Purpose.MAINS_LIMITED, Route.Purpose.MAINS_DIRECT),
            EnumSet.allOf(Route.Purpose.class))) {
      Set<String> relays = new TreeSet<>();
      Duration settle = Duration.ZERO;
      for (Route route : routes.values()) {
        if (stage.contains(route.purpose())) {
          relays.addAll(route.relays());
          settle = route.settle().compareTo(settle) > 0 ? route.settle() : settle;
        }
      }
      relays.removeAll(done);
      if (!muted) {
        relays.removeAll(relaysFor(Route.Purpose.LOAD));
      }
      done.addAll(relays);
      if (relays.isEmpty()) {
        continue;
      }
      try {
        switchTo(relays, false);
        pause(settle);
        verify(relays, false);
        unsure.removeAll(relays);
      } catch (InstrumentException e) {
        first = join(first, e);
      } catch (RuntimeException e) {
        // A mistake in a plugin must not keep the next stage, perhaps mains, from opening.
        first =
            join(
                first,
                new InstrumentException(
                    InstrumentException.Kind.OTHER, board.identity() + ": " + e, e));
      }
      muted &= first == null || !stage.equals(DRIVE_STAGE);
    }
    if (first != null) {
      throw first;
    }
  }

  private Set<String> relaysFor(Route.Purpose purpose) {
    Set<String> relays = new TreeSet<>();
    for (Route route : routes.values()) {
      if (route.purpose() == purpose) {
        relays.addAll(route.relays());
      }
    }
    return relays;
  }

  @Override
  public synchronized void makeSafe() throws InstrumentException {
    if (!closed) {
      openAll();
    }
  }

  @Override
  public synchronized void close() throws InstrumentException {
    if (closed) {
      return;
    }
    @Nullable InstrumentException first = null;
    try {
      openAll();
    } catch (InstrumentException e) {
      first = e;
    }
    closed = true;
    try {
      board.close();
    } catch (InstrumentException e) {
      first = join(first, e);
    }
    if (first != null) {
      throw first;
    }
  }

  private static InstrumentException join(
      @Nullable InstrumentException first, InstrumentException next) {
    if (first == null) {
      return next;
    }
    first.addSuppressed(next);
    return first;
  }

  private Set<String> relaysOf(String group) {
    Set<String> relays = new TreeSet<>();
    for (Route route : routes.values()) {
      if (route.group().equals(group)) {
        relays.addAll(route.relays());
      }
    }
    return relays;
  }

  /** Long enough for a route and for the routes of its group that it leaves. */
  private Duration settle(Route to, Set<String> breaking) {
    Duration longest = to.settle();
    for (Route route : routes.values()) {
      boolean left =
          route.group().equals(to.group()) && route.relays().stream().anyMatch(breaking::contains);
      if (left && route.settle().compareTo(longest) > 0) {
        longest = route.settle();
      }
    }
    return longest;
  }

  private Set<String> heldByOtherGroups(String group) {
    Set<String> held = new TreeSet<>();
    selected.forEach(
        (other, route) -> {
          if (!other.equals(group)) {
            held.addAll(route.relays());
          }
        });
    return held;
  }

  private void switchTo(Set<String> relays, boolean energised) throws InstrumentException {
    Map<String, Boolean> wanted = new LinkedHashMap<>();
    relays.forEach(relay -> wanted.put(relay, energised));
    board.set(wanted);
  }

  private void verify(Set<String> relays, boolean energised) throws InstrumentException {
    if (relays.isEmpty()) {
      return;
    }
    Set<String> on = board.energised();
    List<String> wrong = new ArrayList<>();
    for (String relay : relays) {
      if (on.contains(relay) != energised) {
        wrong.add(relay);
      }
    }
    stuck.removeAll(relays);
    stuck.addAll(wrong);
    if (!wrong.isEmpty()) {
      throw new InstrumentException(
          InstrumentException.Kind.PROTOCOL,
          "relay "
              + String.join(", ", wrong)
              + (energised ? " did not close" : " did not open")
              + " (read back from "
              + board.identity()
              + ")");
    }
  }

  /** Waits to the end even if interrupted: contacts that have not settled are not settled. */
  private void pause(Duration settle) {
    long end = clock.nanos() + settle.toNanos();
    boolean interrupted = false;
    for (long left = settle.toNanos(); left > 0; left = end - clock.nanos()) {
      try {
        clock.sleep(Duration.ofNanos(left));
      } catch (InterruptedException e) {
        interrupted = true;
      }
    }
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
  }

  private void checkOpen() throws InstrumentException {
    if (closed) {
      throw new InstrumentException(
          InstrumentException.Kind.UNREACHABLE, board.identity() + " is closed");
    }
  }
}
