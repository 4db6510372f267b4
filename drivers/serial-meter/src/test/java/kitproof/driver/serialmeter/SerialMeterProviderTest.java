package kitproof.driver.serialmeter;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import kitproof.driver.DriverProvider;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.FakeContext;
import kitproof.driver.kit.InstrumentContract;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.ProviderContract;
import org.junit.jupiter.api.Test;

class SerialMeterProviderTest extends ProviderContract {
  private static final Map<String, Object> SOUND =
      Nodes.map(
          "line",
          "/dev/ttyUSB0",
          "functions",
          Map.of("dc-voltage", Map.of("configure", "CONF:VOLT:DC 1000", "unit", "V")));

  @Override
  public DriverProvider provider() {
    return new SerialMeterProvider();
  }

  @Override
  public List<Example> examples() {
    return List.of(new Example(InstrumentKind.METER, SOUND, List.of()));
  }

  private List<String> problems(Map<String, Object> settings) {
    return provider().check(InstrumentKind.METER, Nodes.settings(settings), List.of()).stream()
        .map(p -> p.found() + " | " + p.expected())
        .toList();
  }

  @Test
  void whatIsWrongInAFunctionIsFoundAllAtOnce() {
    Map<String, Object> function =
        Nodes.map("read", "READ", "unit", "kV", "scale", "0", "range", "1000");
    assertThat(problems(Nodes.map("line", "COM3", "functions", Map.of("dc-voltage", function))))
        .satisfiesExactlyInAnyOrder(
            p -> assertThat(p).contains("at least one SCPI command"),
            p -> assertThat(p).contains("\"READ\"").contains("question mark"),
            p -> assertThat(p).contains("\"kV\"").contains("without prefix"),
            p -> assertThat(p).contains("scale"),
            p -> assertThat(p).contains("setting \"range\""));
  }

  @Test
  void aMeterWithoutFunctionsIsAProblem() {
    assertThat(problems(Nodes.map("line", "COM3", "functions", Map.of())))
        .singleElement()
        .asString()
        .contains("at least one function");
  }

  @Test
  void aPortThatDoesNotExistIsUnreachableWhenOpened() {
    InstrumentContract.assertFails(
        InstrumentException.Kind.UNREACHABLE,
        () ->
            provider()
                .open(
                    InstrumentKind.METER,
                    Nodes.settings(
                        Nodes.map(
                            "line", "/dev/no-such-port", "functions", SOUND.get("functions"))),
                    new FakeContext(new SimulatedClock(java.time.Instant.EPOCH)))
                .close());
  }
}
