package kitproof.run;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import kitproof.driver.kit.FakeRelayBoard;
import kitproof.event.Event;

/** What must hold of the relays and of the events however a run goes. */
final class Invariants {
  private Invariants() {}

  static void check(FakeStation station, String about) {
    relays(station, about);
    events(station, about);
  }

  /** Over the whole trace of the relays. */
  static void relays(FakeStation station, String about) {
    relays(station, Set.of(), about);
  }

  /** The same where these relays are welded: mains is taken from what they drive all the same. */
  static void relays(FakeStation station, Set<String> welded, String about) {
    List<FakeRelayBoard.Moment> moments = station.board.moments();
    Set<String> before = Set.of();
    for (int i = 0; i < moments.size(); i++) {
      Set<String> now = moments.get(i).energised();
      String when = about + ": move " + i + " of " + moments;
      boolean left = now.contains("K3");
      boolean right = now.contains("K4");
      assertThat(left && right).as("both inputs driven at %s", when).isFalse();
      if (left) {
        boolean one = now.contains("K5") ^ now.contains("K6");
        assertThat(one).as("left driven with one load at %s", when).isTrue();
      }
      assertThat(now.contains("K5") && now.contains("K6")).as("two loads at %s", when).isFalse();
      for (String load : List.of("K5", "K6", "K7", "K8")) {
        boolean moved = now.contains(load) != before.contains(load);
        assertThat(moved && (left || right)).as("%s moved under drive at %s", load, when).isFalse();
      }
      if (now.contains("K2")) {
        assertThat(i)
            .as("limiter out before a good rise at %s", when)
            .isGreaterThanOrEqualTo(station.movesBeforeRise);
      }
      Set<String> driving = before;
      boolean mainsWent = before.contains("K1") && !now.contains("K1");
      boolean driven =
          Stream.of("K3", "K4").anyMatch(k -> !welded.contains(k) && driving.contains(k));
      assertThat(mainsWent && driven).as("mains taken from a driven unit at %s", when).isFalse();
      before = now;
    }
  }

  /** Either the bench is at rest, or the record says that this could not be confirmed. */
  static void events(FakeStation station, String about) {
    List<Event.SafeState> states = station.events(Event.SafeState.class);
    boolean confirmed = !states.isEmpty() && states.get(states.size() - 1).confirmed();
    if (states.isEmpty() || confirmed) {
      atRest(station, about);
    }
    List<Event> all = List.copyOf(station.events);
    assertThat(all.get(0)).as(about).isInstanceOf(Event.RunStarted.class);
    assertThat(all.get(all.size() - 1)).as(about).isInstanceOf(Event.RunEnded.class);
    assertThat(station.events(Event.RunEnded.class)).as(about).hasSize(1);
  }

  static void atRest(FakeStation station, String about) {
    assertThat(station.board.now()).as(about).doesNotContain("K1", "K2", "K3", "K4");
  }
}
