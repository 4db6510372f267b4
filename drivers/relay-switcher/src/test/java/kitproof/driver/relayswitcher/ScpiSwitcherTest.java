package kitproof.driver.relayswitcher;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.Arrays;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.SimulatedClock;
import kitproof.driver.Switcher;
import kitproof.driver.kit.LineFaultContract;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.ScriptedLine;
import kitproof.driver.kit.SwitcherContract;
import kitproof.driver.serial.Conversation;
import kitproof.driver.serial.ScriptedLines;
import org.junit.jupiter.api.Test;

class ScpiSwitcherTest extends SwitcherContract implements LineFaultContract<Switcher> {
  private static final Map<String, Object> RELAYS =
      Nodes.map("K1", 101, "K2", 102, "K3", 103, "K4", 204);

  private final SimulatedClock clock = new SimulatedClock(Instant.EPOCH);
  private final ScriptedLine line = ScriptedLine.ofText(clock, this::instrument);
  private final Set<String> closed = new TreeSet<>();
  private String states = "";

  private String instrument(String message) {
    String[] words = message.strip().split(" ", 2);
    String[] list =
        words.length < 2 ? new String[0] : words[1].replaceAll("[(@)]", "").split(",", -1);
    return switch (words[0]) {
      case "*IDN?" -> "Linnet,Switch,0007,2.0\n";
      case "SYST:ERR?" -> "0,\"No error\"\n";
      case "ROUT:CLOS" -> {
        closed.addAll(Arrays.asList(list));
        yield "";
      }
      case "ROUT:OPEN" -> {
        Arrays.asList(list).forEach(closed::remove);
        yield "";
      }
      case "ROUT:CLOS?" ->
          (states.isEmpty()
                  ? Arrays.stream(list)
                      .map(c -> closed.contains(c) ? "1" : "0")
                      .collect(Collectors.joining(","))
                  : states)
              + "\n";
      default -> "";
    };
  }

  @Override
  public Switcher open() throws InstrumentException {
    BoardSettings settings =
        BoardSettings.read(
            Nodes.settings(
                Nodes.map(
                    "line",
                    "tcp://switch.local:5025",
                    "protocol",
                    "scpi",
                    "timeout",
                    "500 ms",
                    "relays",
                    RELAYS)));
    return RouteSwitcher.open(
        settings.open(new Conversation("ttyTest", ScriptedLines.opener(line), clock)),
        routes(),
        clock);
  }

  @Override
  public Set<String> energisedAtTheFarSide() {
    Set<String> on = new TreeSet<>();
    RELAYS.forEach(
        (relay, channel) -> {
          if (closed.contains(channel.toString())) {
            on.add(relay);
          }
        });
    return on;
  }

  @Override
  public ScriptedLine line() {
    return line;
  }

  @Override
  public Object ask(Switcher switcher) throws InstrumentException {
    return switcher.closed();
  }

  @Override
  public Object truth(int number) {
    closed.clear();
    closed.add(number == 1 ? "101" : "102");
    return Set.of(number == 1 ? "a" : "b");
  }

  @Override
  public int repliesPerAsk() {
    return 2; // the states and the error queue
  }

  @Override
  public Duration deadline() {
    return Duration.ofMillis(500);
  }

  @Test
  void channelsGoInOneListAndAreReadBack() throws Exception {
    try (Switcher switcher = open()) {
      assertThat(switcher.identity()).hasToString("Linnet Switch 0007 2.0");
      switcher.select("c");
      assertThat(line.sent())
          .containsSubsequence(
              "ROUT:OPEN (@101,102,103,204)\n",
              "SYST:ERR?\n",
              "ROUT:CLOS? (@101,102,103,204)\n",
              "ROUT:CLOS (@102,103)\n",
              "SYST:ERR?\n",
              "ROUT:CLOS? (@101,102,103,204)\n");
    }
  }

  @Test
  void statesThatAreNoStatesAreAProtocolFailure() throws Exception {
    try (Switcher switcher = open()) {
      for (String wrong : new String[] {"1,0", "1,0,0,2", "+1.0E+00", "1,0,0,0,0"}) {
        states = wrong;
        assertThat(assertFails(Kind.PROTOCOL, switcher::closed)).hasMessageContaining(wrong);
      }
      states = "";
      assertThat(switcher.closed()).isEmpty();
    }
  }
}
