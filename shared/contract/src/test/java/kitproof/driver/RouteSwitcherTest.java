package kitproof.driver;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.catchThrowableOfType;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import kitproof.value.Conditions;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

class RouteSwitcherTest {
  private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  private final Board board = new Board();

  private static final List<Route> ROUTES =
      List.of(
          route("8 ohm tap", "load left", Route.Purpose.LOAD, "K1"),
          route("4 ohm tap", "load left", Route.Purpose.LOAD, "K2"),
          route("resting load", "load left", Route.Purpose.LOAD),
          route("drive left", "drive", Route.Purpose.DRIVE, "K3"),
          route("mute", "drive", Route.Purpose.MUTE),
          route("limited", "mains", Route.Purpose.MAINS_LIMITED, "K4"),
          route("direct", "mains", Route.Purpose.MAINS_DIRECT, "K4", "K5"),
          route("off", "mains", Route.Purpose.MAINS_OFF),
          route("probe hv", "probe", Route.Purpose.OTHER, "K6", "K7"),
          route("probe heater", "probe", Route.Purpose.OTHER, "K7"),
          route("guard", "guard", Route.Purpose.OTHER, "K7"));

  private static Route route(String name, String group, Route.Purpose purpose, String... relays) {
    return new Route(
        name, group, List.of(relays), Duration.ofMillis(30), purpose, Conditions.NONE, null);
  }

  /** A board that keeps its trace; relays may be stuck or calls may fail. */
  private final class Board implements RelayBoard {
    final Set<String> on = new TreeSet<>();
    final Set<String> stuck = new TreeSet<>();
    final List<String> trace = new ArrayList<>();
    String failOn = "nothing";
    boolean mistake;
    int closes;

    @Override
    public Identity identity() {
      return new Identity("Test", "board", "", "");
    }

    @Override
    public void set(Map<String, Boolean> wanted) throws InstrumentException {
      String text = new TreeMap<>(wanted).toString();
      trace.add(clock.nanos() / 1_000_000 + " ms " + text);
      if (wanted.containsKey(failOn)) {
        if (mistake) {
          throw new IllegalStateException("a mistake in the plugin");
        }
        throw new InstrumentException(InstrumentException.Kind.TIMEOUT, "no answer for " + failOn);
      }
      wanted.forEach(
          (relay, energised) -> {
            if (!stuck.contains(relay)) {
              if (energised) {
                on.add(relay);
              } else {
                on.remove(relay);
              }
            }
          });
    }

    @Override
    public Set<String> energised() {
      return Set.copyOf(on);
    }

    @Override
    public void close() throws InstrumentException {
      closes++;
      if (failOn.equals("close")) {
        throw new InstrumentException(InstrumentException.Kind.OTHER, "cannot close");
      }
    }
  }

  private RouteSwitcher open() throws InstrumentException {
    RouteSwitcher switcher = RouteSwitcher.open(board, ROUTES, clock);
    board.trace.clear();
    return switcher;
  }

  private static InstrumentException failure(
      InstrumentException.Kind kind, org.assertj.core.api.ThrowableAssert.ThrowingCallable call) {
    InstrumentException failure = catchThrowableOfType(InstrumentException.class, call);
    assertThat(failure).isNotNull();
    assertThat(failure.kind()).isEqualTo(kind);
    return failure;
  }

  @AfterEach
  void noInterruptIsLeftBehind() {
    assertThat(Thread.interrupted()).isFalse();
  }

  @Test
  void openingCommandsEveryRelayToRestDriveFirstThenMainsThenTheOthers() throws Exception {
    board.on.addAll(Set.of("K1", "K3", "K4", "K5", "K7"));
    RouteSwitcher.open(board, ROUTES, clock);
    assertThat(board.trace)
        .containsExactly(
            "0 ms {K3=false}",
            "30 ms {K4=false, K5=false}",
            "60 ms {K1=false, K2=false, K6=false, K7=false}");
    assertThat(clock.nanos()).isEqualTo(90_000_000);
    assertThat(board.on).isEmpty();
  }

  @Test
  void aRouteHasSettledWhenItIsSelected() throws Exception {
    RouteSwitcher switcher = open();
    long start = clock.nanos();
    switcher.select("8 ohm tap");
    assertThat(clock.nanos() - start).isEqualTo(30_000_000);
    assertThat(switcher.closed()).contains("8 ohm tap").doesNotContain("4 ohm tap", "resting load");
  }

  @Test
  void changingARouteBreaksAndSettlesBeforeItMakes() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("8 ohm tap");
    board.trace.clear();
    switcher.select("4 ohm tap");
    assertThat(board.trace).containsExactly("120 ms {K1=false}", "150 ms {K2=true}");
    assertThat(switcher.closed()).contains("4 ohm tap").doesNotContain("8 ohm tap");
  }

  /** Muted means that the drive's contacts are open, however quick the mute says it is. */
  @Test
  void theRouteThatIsLeftHasItsOwnTimeToBreak() throws Exception {
    Route slow =
        new Route(
            "slow drive",
            "drive",
            List.of("K3"),
            Duration.ofMillis(200),
            Route.Purpose.DRIVE,
            Conditions.NONE,
            null);
    RouteSwitcher switcher =
        RouteSwitcher.open(
            board, List.of(slow, route("muted", "drive", Route.Purpose.MUTE)), clock);
    switcher.select("slow drive");
    long start = clock.nanos();
    switcher.select("muted");
    assertThat(clock.nanos() - start).isEqualTo(200_000_000);
  }

  @Test
  void aRouteThatDoesNotBreakIsNotFollowedByAMake() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("8 ohm tap");
    board.stuck.add("K1");
    board.trace.clear();
    assertThat(failure(InstrumentException.Kind.PROTOCOL, () -> switcher.select("4 ohm tap")))
        .hasMessageContaining("K1 did not open");
    assertThat(board.on).doesNotContain("K2");
    assertThat(board.trace).hasSize(1);
  }

  @Test
  void relaysThatTwoRoutesShareStayEnergised() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("limited");
    board.trace.clear();
    switcher.select("direct");
    assertThat(board.trace).containsExactly("120 ms {K5=true}");
    board.trace.clear();
    switcher.select("limited");
    assertThat(board.trace).containsExactly("150 ms {K5=false}");
    assertThat(board.on).containsExactly("K4");
  }

  @Test
  void aRelayThatAnotherGroupHoldsStaysEnergised() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("guard");
    switcher.select("probe hv");
    switcher.select("8 ohm tap");
    switcher.select("guard");
    assertThat(board.on).containsExactly("K1", "K6", "K7");
    assertThat(switcher.closed()).contains("guard", "probe hv", "8 ohm tap");
  }

  @Test
  void aRouteWithoutRelaysPutsItsGroupToRest() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("direct");
    switcher.select("8 ohm tap");
    switcher.select("off");
    assertThat(board.on).containsExactly("K1");
    assertThat(switcher.closed()).contains("off").doesNotContain("limited", "direct");
  }

  @Test
  void aRelayThatDoesNotCloseIsToldByNameAndTheRouteIsNotClosed() throws Exception {
    RouteSwitcher switcher = open();
    board.stuck.add("K5");
    assertThat(failure(InstrumentException.Kind.PROTOCOL, () -> switcher.select("direct")))
        .hasMessageContaining("relay K5 did not close")
        .hasMessageContaining("Test board");
    assertThat(switcher.closed()).doesNotContain("direct");
  }

  @Test
  void closedTellsWhatTheBoardReadsBackAndNotWhatWasAsked() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("8 ohm tap");
    board.on.remove("K1");
    assertThat(switcher.closed()).doesNotContain("8 ohm tap");
    board.on.addAll(Set.of("K1", "K2"));
    assertThat(switcher.closed()).doesNotContain("8 ohm tap", "4 ohm tap");
  }

  @Test
  void selectingMendsARelayThatMovedByItself() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("8 ohm tap");
    board.on.remove("K1");
    board.on.add("K2");
    switcher.select("8 ohm tap");
    assertThat(board.on).containsExactly("K1");
  }

  @Test
  void anErrorInOneStageDoesNotKeepTheNextFromOpening() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("direct");
    switcher.select("drive left");
    switcher.select("8 ohm tap");
    board.failOn = "K3";
    failure(InstrumentException.Kind.TIMEOUT, switcher::openAll);
    assertThat(board.on).as("drive, and the load that it needs").containsExactly("K1", "K3");
  }

  @Test
  void aPluginsMistakeInOneStageDoesNotKeepTheNextFromOpening() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("direct");
    switcher.select("drive left");
    board.failOn = "K3";
    board.mistake = true;
    assertThat(failure(InstrumentException.Kind.OTHER, switcher::openAll))
        .hasMessageContaining("a mistake in the plugin")
        .hasCauseInstanceOf(IllegalStateException.class);
    assertThat(board.on).containsExactly("K3");
  }

  @Test
  void everyStagesErrorIsKept() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("direct");
    switcher.select("drive left");
    board.stuck.addAll(Set.of("K3", "K5"));
    InstrumentException failure = failure(InstrumentException.Kind.PROTOCOL, switcher::makeSafe);
    assertThat(failure).hasMessageContaining("K3 did not open");
    assertThat(failure.getSuppressed())
        .singleElement()
        .satisfies(e -> assertThat(e).hasMessageContaining("K5 did not open"));
  }

  @Test
  void closingMakesSafeAndLetsGoOnce() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("direct");
    switcher.close();
    switcher.close();
    switcher.makeSafe();
    assertThat(board.on).isEmpty();
    assertThat(board.closes).isEqualTo(1);
    failure(InstrumentException.Kind.UNREACHABLE, () -> switcher.select("direct"));
    failure(InstrumentException.Kind.UNREACHABLE, switcher::closed);
  }

  @Test
  void closingLetsGoAndKeepsBothErrorsWhenARelayDoesNotOpen() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("direct");
    board.stuck.add("K4");
    board.failOn = "close";
    InstrumentException failure = failure(InstrumentException.Kind.PROTOCOL, switcher::close);
    assertThat(failure).hasMessageContaining("K4 did not open");
    assertThat(failure.getSuppressed()).hasSize(1);
    assertThat(board.closes).isEqualTo(1);
  }

  @Test
  void aBoardThatCannotBePutToRestIsNotOpened() {
    board.failOn = "K4";
    failure(InstrumentException.Kind.TIMEOUT, () -> RouteSwitcher.open(board, ROUTES, clock));
    assertThat(board.closes).isEqualTo(1);
  }

  @Test
  void anInterruptDoesNotCutSettlingShort() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("8 ohm tap");
    board.trace.clear();
    Thread.currentThread().interrupt();
    switcher.select("4 ohm tap");
    assertThat(Thread.interrupted()).isTrue();
    assertThat(board.trace).containsExactly("120 ms {K1=false}", "150 ms {K2=true}");
    assertThat(clock.nanos()).isEqualTo(180_000_000);
  }

  @Test
  void anUnknownRouteIsOutOfRange() throws Exception {
    RouteSwitcher switcher = open();
    failure(InstrumentException.Kind.RANGE, () -> switcher.select("16 ohm tap"));
    assertThat(board.trace).isEmpty();
  }

  @Test
  void aBoardStartedAnewHasLetGoOfItsRelaysAndIsNoticed() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("8 ohm tap");
    switcher.recognise();
    board.on.clear();
    assertThat(failure(InstrumentException.Kind.PROTOCOL, switcher::recognise))
        .hasMessage(
            "relay K1 moved without a command (read back from Test board): the board was started"
                + " anew, exchanged, or switched by another hand");
  }

  @Test
  void aRelayThatNobodyClosedIsNoticedAndOneThatIsStuckIsToldOnce() throws Exception {
    RouteSwitcher switcher = open();
    board.on.add("K1");
    failure(InstrumentException.Kind.PROTOCOL, switcher::recognise);
    board.stuck.add("K1");
    failure(InstrumentException.Kind.PROTOCOL, switcher::openAll);
    switcher.recognise();
  }

  @Test
  void aRelayWhoseCommandFailedIsNotSaidToHaveMovedByItself() throws Exception {
    RouteSwitcher switcher = open();
    board.failOn = "K1";
    failure(InstrumentException.Kind.TIMEOUT, () -> switcher.select("8 ohm tap"));
    board.on.add("K1"); // it has come through all the same
    switcher.recognise();
    board.failOn = "nothing";
    switcher.openAll();
    board.on.add("K1");
    failure(InstrumentException.Kind.PROTOCOL, switcher::recognise);
  }

  @Test
  void loadsDoNotMoveUnderADriveThatHasNotLetGo() throws Exception {
    RouteSwitcher switcher = open();
    switcher.select("8 ohm tap");
    switcher.select("direct");
    switcher.select("probe hv");
    switcher.select("drive left");
    board.stuck.add("K3");
    failure(InstrumentException.Kind.PROTOCOL, switcher::openAll);
    assertThat(board.on).as("the load and the drive that is stuck").containsExactly("K1", "K3");
    board.stuck.clear();
    switcher.openAll();
    assertThat(board.on).isEmpty();
  }
}
