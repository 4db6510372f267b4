package kitproof.driver.relayswitcher;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.Switcher;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.SwitcherContract;
import kitproof.peer.PtyPair;
import kitproof.peer.ScpiPeer;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** The SCPI peer's relay card over TCP, and over pseudo-terminals. */
@Timeout(120)
class ScpiSwitcherIT extends SwitcherContract {
  private ScpiPeer peer;

  @BeforeEach
  void start() {
    peer = ScpiPeer.onTcp();
  }

  @AfterEach
  void stop() {
    peer.close();
  }

  private static Switcher open(String line, int fourth) throws InstrumentException {
    Map<String, Object> relays = Nodes.map("K1", 101, "K2", 102, "K3", 103, "K4", fourth);
    return Benches.open(
        Nodes.map("line", line, "protocol", "scpi", "timeout", "1 s", "relays", relays));
  }

  private String address() {
    return "tcp://127.0.0.1:" + peer.port();
  }

  @Override
  public Switcher open() throws InstrumentException {
    return open(address(), 116);
  }

  @Override
  public Set<String> energisedAtTheFarSide() {
    Map<Integer, String> names = Map.of(101, "K1", 102, "K2", 103, "K3", 116, "K4");
    Set<String> on = new TreeSet<>();
    peer.channelsClosed().forEach(c -> on.add(names.getOrDefault(c, "channel " + c)));
    return on;
  }

  @Test
  void aStuckRelayIsToldByName() throws Exception {
    try (Switcher switcher = open()) {
      peer.stick(101, false);
      assertThat(assertFails(Kind.PROTOCOL, () -> switcher.select("a")))
          .hasMessageContaining("relay K1 did not close")
          .hasMessageContaining("Linnet Bench meter");
    }
  }

  @Test
  void aChannelThatTheCardHasNotIsRefusedWithTheCardsOwnWords() {
    assertThat(assertFails(Kind.PROTOCOL, () -> open(address(), 900).close()))
        .hasMessageContaining("-222 Data out of range");
  }

  @Test
  void aConnectionThatIsCutIsMadeAgain() throws Exception {
    try (Switcher switcher = open()) {
      switcher.select("a");
      peer.drop();
      assertFails(Kind.UNREACHABLE, switcher::closed);
      assertThat(switcher.closed()).containsExactly("a");
    }
  }

  @Test
  void worksOverASerialLineTooAndALostReadBackIsAskedForAgainAndALateOneNotTakenForTheNext()
      throws Exception {
    try (PtyPair cable = PtyPair.open();
        ScpiPeer far = ScpiPeer.onPty(cable.far());
        Switcher switcher = open(cable.near(), 116)) {
      switcher.select("a");
      assertThat(far.channelsClosed()).containsExactly(101);
      assertThat(far.received()).isNotEmpty();
      far.failOnce(ScpiPeer.Fault.SILENT, 0, 0);
      assertThat(switcher.closed()).containsExactly("a");
      assertThat(far.received().split("ROUT:CLOS\\?", -1)).as("asked twice").hasSize(3);
      far.failOnce(ScpiPeer.Fault.LATE, 0, 1.2); // a second loss soon after is a failure
      assertFails(Kind.TIMEOUT, switcher::closed);
      switcher.select("b");
      for (int i = 0; i < 20; i++) {
        assertThat(switcher.closed()).containsExactly("b");
      }
    }
  }
}
