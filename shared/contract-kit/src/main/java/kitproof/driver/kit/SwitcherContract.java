package kitproof.driver.kit;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.Switcher;
import kitproof.value.Conditions;
import org.junit.jupiter.api.Test;

/** What holds for every switcher, seen from the relays' side. */
public abstract class SwitcherContract extends InstrumentContract<Switcher> {
  /** Routes on relays K1 to K3; "b" and "c" share one relay. */
  public static final List<Route> ROUTES =
      List.of(
          route("a", "first", "K1"),
          route("b", "first", "K2"),
          route("c", "first", "K2", "K3"),
          route("other", "second", "K4"));

  /**
   * The relays that are energised, as told by the far side and not by the switcher itself; works
   * after close too.
   */
  public abstract Set<String> energisedAtTheFarSide() throws Exception;

  /** The routes it is opened with: at least two with relays in the first one's group. */
  public List<Route> routes() {
    return ROUTES;
  }

  /** A route without conditions, purpose or load, settled after 20 ms. */
  public static Route route(String name, String group, String... relays) {
    return new Route(
        name,
        group,
        List.of(relays),
        Duration.ofMillis(20),
        Route.Purpose.OTHER,
        Conditions.NONE,
        null);
  }

  @Override
  void use(Switcher switcher) throws InstrumentException {
    switcher.closed();
  }

  private Route first() {
    return routes().get(0);
  }

  private Route second() {
    return routes().stream()
        .filter(r -> r.group().equals(first().group()) && !r.relays().equals(first().relays()))
        .findFirst()
        .orElseThrow();
  }

  private static Set<String> relays(Route route) {
    return new TreeSet<>(route.relays());
  }

  @Test
  void everythingIsAtRestAfterOpening() throws Exception {
    try (Switcher switcher = open()) {
      assertThat(energisedAtTheFarSide()).isEmpty();
      assertThat(switcher.closed()).doesNotContain(first().name(), second().name());
    }
  }

  @Test
  void aSelectedRouteIsClosedAtTheFarSide() throws Exception {
    try (Switcher switcher = open()) {
      switcher.select(first().name());
      assertThat(energisedAtTheFarSide()).containsExactlyInAnyOrderElementsOf(relays(first()));
      assertThat(switcher.closed()).contains(first().name());
    }
  }

  @Test
  void selectingAnotherRouteOfTheGroupLeavesTheFirst() throws Exception {
    try (Switcher switcher = open()) {
      switcher.select(first().name());
      switcher.select(second().name());
      assertThat(energisedAtTheFarSide()).containsExactlyInAnyOrderElementsOf(relays(second()));
      assertThat(switcher.closed()).contains(second().name()).doesNotContain(first().name());
    }
  }

  @Test
  void everyRouteCanBeSelectedAfterEveryOther() throws Exception {
    try (Switcher switcher = open()) {
      for (Route from : routes()) {
        for (Route to : routes()) {
          switcher.select(from.name());
          switcher.select(to.name());
          assertThat(switcher.closed()).as(from.name() + ", then").contains(to.name());
          assertThat(energisedAtTheFarSide()).containsAll(to.relays());
        }
      }
    }
  }

  @Test
  void anUnknownRouteIsOutOfRangeAndMovesNothing() throws Exception {
    try (Switcher switcher = open()) {
      switcher.select(first().name());
      assertFails(InstrumentException.Kind.RANGE, () -> switcher.select("no such route"));
      assertThat(energisedAtTheFarSide()).containsExactlyInAnyOrderElementsOf(relays(first()));
    }
  }

  @Test
  void openingAllPutsEveryRelayToRest() throws Exception {
    try (Switcher switcher = open()) {
      switcher.select(first().name());
      switcher.openAll();
      assertThat(energisedAtTheFarSide()).isEmpty();
    }
  }

  @Test
  void makingSafePutsEveryRelayToRest() throws Exception {
    try (Switcher switcher = open()) {
      switcher.select(first().name());
      switcher.makeSafe();
      assertThat(energisedAtTheFarSide()).isEmpty();
    }
  }

  @Test
  void closingPutsEveryRelayToRest() throws Exception {
    Switcher switcher = open();
    switcher.select(first().name());
    switcher.close();
    assertThat(energisedAtTheFarSide()).isEmpty();
  }

  @Test
  void selectingAfterCloseIsUnreachableAndMovesNothing() throws Exception {
    Switcher switcher = open();
    switcher.close();
    assertFails(InstrumentException.Kind.UNREACHABLE, () -> switcher.select(first().name()));
    assertThat(energisedAtTheFarSide()).isEmpty();
  }
}
