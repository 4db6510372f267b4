package kitproof.driver.serialmeter;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
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
import kitproof.value.Unit;
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
  void unitAndReadingTimeAreToldBeforeAnythingIsOpened() {
    Map<String, Object> settings =
        Nodes.map(
            "line",
            "/dev/ttyUSB0",
            "functions",
            Map.of(
                "hv",
                Map.of("configure", "CONF:VOLT:DC 1000", "unit", "V", "reading-time", "300 ms"),
                "bias",
                Map.of("configure", "CONF:VOLT:DC 1", "unit", "A")));
    assertThat(provider().unit(Nodes.settings(settings), "bias")).contains(Unit.AMPERE);
    assertThat(provider().unit(Nodes.settings(settings), "no such")).isEmpty();
    assertThat(provider().readingTime(Nodes.settings(settings), "bias")).isEmpty();
    // 300 ms and 189 characters at 9600 baud, 10 bits each: READ? with its answer of 20, who it is
    // with 60, the configuration of 17, and SYST:ERR? with its answer of 20 after each of three
    assertThat(provider().readingTime(Nodes.settings(settings), "hv").orElseThrow())
        .isBetween(Duration.ofMillis(496), Duration.ofMillis(497));
    settings.put("line", "tcp://127.0.0.1:5025");
    assertThat(provider().readingTime(Nodes.settings(settings), "hv"))
        .contains(Duration.ofMillis(300));
  }

  @Test
  void aReadingThatTakesNoTimeIsAProblem() {
    Map<String, Object> function =
        Map.of("configure", "CONF:VOLT:DC 1000", "unit", "V", "reading-time", "0 s");
    assertThat(problems(Nodes.map("line", "COM3", "functions", Map.of("hv", function))))
        .singleElement()
        .asString()
        .contains("more than zero");
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
