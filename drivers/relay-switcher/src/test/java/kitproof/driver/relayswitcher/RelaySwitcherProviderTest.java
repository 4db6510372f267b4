package kitproof.driver.relayswitcher;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import kitproof.driver.DriverProvider;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.ProviderContract;
import kitproof.driver.kit.SwitcherContract;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;

class RelaySwitcherProviderTest extends ProviderContract {
  private static Map<String, Object> sound(String protocol) {
    return Nodes.map(
        "line",
        "/dev/ttyUSB1",
        "protocol",
        protocol,
        "relays",
        Nodes.map("K1", 1, "K2", 2, "K3", 3, "K4", 4));
  }

  @Override
  public DriverProvider provider() {
    return new RelaySwitcherProvider();
  }

  @Override
  public List<Example> examples() {
    return List.of(
        new Example(InstrumentKind.SWITCHER, sound("modbus-rtu"), SwitcherContract.ROUTES),
        new Example(InstrumentKind.SWITCHER, sound("scpi"), SwitcherContract.ROUTES));
  }

  private List<String> problems(Map<String, Object> settings, List<Route> routes) {
    return provider().check(InstrumentKind.SWITCHER, Nodes.settings(settings), routes).stream()
        .map(Problem::toString)
        .toList();
  }

  @Test
  void aRelayThatARouteNamesAndTheBoardHasNotIsAProblem() {
    Map<String, Object> settings = sound("modbus-rtu");
    settings.put("relays", Nodes.map("K1", 0, "K2", 1, "K3", 2));
    assertThat(problems(settings, SwitcherContract.ROUTES))
        .containsExactly(
            "bench.yaml:3:3: found route \"other\" with relay \"K4\"; expected one of K1, K2, K3;"
                + " did you mean \"K1\"?");
  }

  @Test
  void twoRelaysWithOneNumberAndNumbersBeyondTheProtocolsAreProblems() {
    Map<String, Object> settings = sound("modbus-rtu");
    settings.put("relays", Nodes.map("K1", 0, "K2", 0, "K3", 65_536, "K4", "four"));
    assertThat(problems(settings, List.of()))
        .satisfiesExactly(
            p -> assertThat(p).contains("K2").contains("as K1 has this one"),
            p -> assertThat(p).contains("K3").contains("from 0 to 65535"),
            p -> assertThat(p).contains("K4").contains("from 0 to 65535"));
  }

  @Test
  void settingsOfTheOtherProtocolAreUnknown() {
    Map<String, Object> modbus = sound("modbus-rtu");
    modbus.put("error-query", "SYST:ERR?");
    assertThat(problems(modbus, List.of())).singleElement().asString().contains("error-query");
    Map<String, Object> scpi = sound("scpi");
    scpi.put("unit", "1");
    assertThat(problems(scpi, List.of())).singleElement().asString().contains("\"unit\"");
  }

  @Test
  void whatIsSentAfterEveryLostAnswerMustMoveNoRelay() {
    for (String moves :
        List.of("*RST", "*rst", "SYST:REM;*RST", " *RCL 1", "SYSTem:PRESet", ":rout:open:all")) {
      Map<String, Object> scpi = sound("scpi");
      scpi.put("start", List.of("SYST:REM", moves));
      assertThat(problems(scpi, List.of()))
          .as(moves)
          .singleElement()
          .asString()
          .contains("start", "commands that move no relay");
    }
    Map<String, Object> scpi = sound("scpi");
    scpi.put("start", List.of("SYST:REM", "SYST:BEEP:STAT OFF", "DISP:TEXT 'ROUTE'"));
    assertThat(problems(scpi, List.of())).isEmpty();
  }

  @Test
  void howLongAnAnswerMayTakeIsTold() {
    Map<String, Object> settings = sound("modbus-rtu");
    assertThat(provider().answerTime(Nodes.settings(settings))).contains(Duration.ofMillis(500));
    settings.put("timeout", "200 ms");
    assertThat(provider().answerTime(Nodes.settings(settings))).contains(Duration.ofMillis(200));
    assertThat(provider().answerTime(Nodes.settings(sound("scpi"))))
        .contains(Duration.ofSeconds(2));
  }

  @Test
  void aWatchdogNeedsItsRegisterAndItsValueAndHasAShortestTime() {
    Map<String, Object> settings = sound("modbus-rtu");
    settings.put("watchdog", Nodes.map("register", 16, "value", 50));
    assertThat(problems(settings, List.of())).isEmpty();
    settings.put("watchdog", Nodes.map("register", 65_536, "every", "10 ms"));
    assertThat(problems(settings, List.of()))
        .satisfiesExactlyInAnyOrder(
            p -> assertThat(p).contains("register").contains("from 0 to 65535"),
            p -> assertThat(p).contains("\"value\": a whole number from 0 to 65535"),
            p -> assertThat(p).contains("every").contains("at least 50 ms"));
    Map<String, Object> scpi = sound("scpi");
    scpi.put("watchdog", Nodes.map("register", 16, "value", 50));
    assertThat(problems(scpi, List.of())).singleElement().asString().contains("watchdog");
  }

  @Test
  void aBoardWithoutRelaysAndAnUnknownProtocolAreProblems() {
    assertThat(problems(Nodes.map("line", "COM3", "protocol", "modbus-tcp"), List.of()))
        .satisfiesExactlyInAnyOrder(
            p -> assertThat(p).contains("did you mean \"modbus-rtu\"?"),
            p -> assertThat(p).contains("at least one relay"));
  }
}
