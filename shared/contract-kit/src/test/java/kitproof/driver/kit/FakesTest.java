package kitproof.driver.kit;

import static kitproof.driver.kit.InstrumentContract.assertFails;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.List;
import java.util.Set;
import kitproof.driver.AudioInterface;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.Reading;
import kitproof.driver.SimulatedClock;
import kitproof.driver.Switcher;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Nested;
import org.junit.jupiter.api.Test;

/** The fakes keep the contract that the drivers keep, and fail when they are told to. */
class FakesTest {
  private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  private final Calls calls = new Calls(clock);

  @Nested
  class TheMeter extends MeterContract {
    @Override
    public Meter open() {
      return new FakeMeter(calls, "hv-meter")
          .function("dc-voltage", Unit.VOLT, 331.2)
          .readings("dc-current", Unit.AMPERE, new Reading.Overload(false));
    }
  }

  @Nested
  class TheRelays extends SwitcherContract {
    private FakeRelayBoard board = FakeRelayBoard.of(calls, "loads", ROUTES);

    @Override
    public Switcher open() throws InstrumentException {
      board = FakeRelayBoard.of(calls, "loads", ROUTES);
      return board.switcher(ROUTES);
    }

    @Override
    public Set<String> energisedAtTheFarSide() {
      return board.now();
    }
  }

  @Nested
  class TheAudioInterface extends AudioInterfaceContract {
    @Override
    public AudioInterface open() {
      return FakeAudioInterface.loop(calls, "audio");
    }
  }

  @Test
  void readingsComeInTurnAndTheLastOneStays() throws Exception {
    FakeMeter meter = new FakeMeter(calls, "hv-meter").function("dc-voltage", Unit.VOLT, 1, 2);
    assertThat(meter.read("dc-voltage")).isEqualTo(volts(1));
    assertThat(meter.read("dc-voltage")).isEqualTo(volts(2));
    assertThat(meter.read("dc-voltage")).isEqualTo(volts(2));
  }

  @Test
  void aCallFailsOnceOrForEverAndIsCountedOverAllFakes() throws Exception {
    FakeMeter one = new FakeMeter(calls, "one").function("dc-voltage", Unit.VOLT, 1);
    FakeMeter two = new FakeMeter(calls, "two").function("dc-voltage", Unit.VOLT, 2);
    calls.failOnce(2, InstrumentException.Kind.TIMEOUT);
    one.read("dc-voltage");
    assertFails(InstrumentException.Kind.TIMEOUT, () -> two.read("dc-voltage"));
    two.read("dc-voltage");
    calls.failFrom(4, InstrumentException.Kind.UNREACHABLE);
    assertFails(InstrumentException.Kind.UNREACHABLE, () -> one.read("dc-voltage"));
    assertFails(InstrumentException.Kind.UNREACHABLE, two::close);
    assertThat(calls.texts())
        .containsExactly(
            "one: read dc-voltage",
            "two: read dc-voltage",
            "two: read dc-voltage",
            "one: read dc-voltage",
            "two: close");
  }

  @Test
  void theBoardKeepsWhatItsRelaysDidAndWhen() throws Exception {
    FakeRelayBoard board = FakeRelayBoard.of(calls, "loads", SwitcherContract.ROUTES);
    Switcher switcher = board.switcher(SwitcherContract.ROUTES);
    long start = clock.nanos();
    switcher.select("a");
    switcher.select("b");
    assertThat(board.moments())
        .extracting(m -> (m.nanos() - start) / 1_000_000 + " ms " + m.energised())
        .containsExactly("0 ms [K1]", "20 ms []", "40 ms [K2]");
  }

  @Test
  void aStuckRelayIsReadBackAsItIs() throws Exception {
    FakeRelayBoard board = FakeRelayBoard.of(calls, "loads", SwitcherContract.ROUTES);
    Switcher switcher = board.switcher(SwitcherContract.ROUTES);
    board.stick("K1", false);
    assertFails(InstrumentException.Kind.PROTOCOL, () -> switcher.select("a"));
  }

  @Test
  void placesAreLinesInTheMapsOrder() {
    assertThat(
            Nodes.mapping(Nodes.map("a", 1, "b", Nodes.map("c", List.of("x", "y")), "d", true))
                .entry("d"))
        .hasValueSatisfying(entry -> assertThat(entry.location().line()).isEqualTo(6));
  }

  private static Reading volts(double value) {
    return new Reading.Value(Quantity.of(value, Unit.VOLT));
  }
}
