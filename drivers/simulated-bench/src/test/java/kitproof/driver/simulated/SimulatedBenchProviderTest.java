package kitproof.driver.simulated;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.driver.DriverProvider;
import kitproof.driver.InstrumentKind;
import kitproof.driver.kit.Nodes;
import kitproof.driver.kit.ProviderContract;
import kitproof.driver.kit.SwitcherContract;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;

class SimulatedBenchProviderTest extends ProviderContract {
  @Override
  public DriverProvider provider() {
    return new SimulatedBenchProvider();
  }

  @Override
  public List<Example> examples() {
    return List.of(
        new Example(InstrumentKind.SWITCHER, Roles.switcherSettings(), Roles.ROUTES),
        new Example(InstrumentKind.METER, Roles.meterSettings(), List.of()),
        new Example(InstrumentKind.AUDIO_INTERFACE, Roles.audioSettings(), List.of()),
        new Example(InstrumentKind.OPERATOR, Roles.operatorSettings(), List.of()));
  }

  private List<Problem> problems(
      InstrumentKind kind, Map<String, ?> sound, String key, Object value) {
    Map<String, Object> changed = new LinkedHashMap<>(sound);
    changed.put(key, value);
    return provider().check(kind, Nodes.settings(changed), List.of());
  }

  private List<Problem> switcher(String key, Object value) {
    return problems(InstrumentKind.SWITCHER, Roles.switcherSettings(), key, value);
  }

  @Test
  void anUnknownFaultIsAProblemWithTheNearestName() {
    assertThat(switcher("faults", Map.of("LN12-003", "tap-exchanged")))
        .singleElement()
        .satisfies(p -> assertThat(p.nearest()).isEqualTo("taps-exchanged"));
  }

  @Test
  void aSerialNumberOfAnotherFormIsAProblemWithTheNearestForm() {
    assertThat(switcher("faults", Map.of("LN-3", "taps-exchanged")))
        .singleElement()
        .satisfies(
            p -> {
              assertThat(p.found()).contains("LN-3");
              assertThat(p.nearest()).isEqualTo("LN12-003");
            });
  }

  @Test
  void aRelayWiredToSomethingUnknownOrTwiceIsAProblem() {
    assertThat(switcher("relays", Map.of("K1", "main")))
        .singleElement()
        .satisfies(p -> assertThat(p.nearest()).isEqualTo("mains"));
    assertThat(switcher("relays", Map.of("K1", "mains", "K2", "mains")))
        .singleElement()
        .satisfies(p -> assertThat(p.found()).contains("mains"));
  }

  @Test
  void aRouteOverARelayThatIsNotThereIsAProblemThatNamesIt() {
    assertThat(
            provider()
                .check(
                    InstrumentKind.SWITCHER,
                    Nodes.settings(Roles.switcherSettings()),
                    List.of(SwitcherContract.route("far", "group", "K99"))))
        .singleElement()
        .satisfies(p -> assertThat(p.found()).contains("far").contains("K99"));
  }

  @Test
  void aLoadOfNothingIsAProblem() {
    assertThat(switcher("second-load", "0 ohm")).hasSize(1);
    assertThat(switcher("loads", Map.of("left-8-ohm", "8 V"))).hasSize(1);
    assertThat(switcher("loads", Map.of("left-9-ohm", "8 ohm"))).hasSize(1);
  }

  @Test
  void meterAndAudioSettingsThatMakeNoSenseAreProblems() {
    assertThat(
            problems(
                InstrumentKind.METER,
                Roles.meterSettings(),
                "functions",
                Map.of("hv", Map.of("point", "hw"))))
        .singleElement()
        .satisfies(p -> assertThat(p.nearest()).isEqualTo("hv"));
    assertThat(problems(InstrumentKind.METER, Roles.meterSettings(), "functions", Map.of()))
        .hasSize(1);
    assertThat(problems(InstrumentKind.METER, Roles.meterSettings(), "reading-time", "0 s"))
        .hasSize(1);
    for (Map.Entry<String, ?> wrong :
        Map.of(
                "sample-rate",
                "20 kHz",
                "noise",
                "3 dB",
                "outputs",
                Map.of("left", "2 A"),
                "inputs",
                Map.of())
            .entrySet()) {
      assertThat(
              problems(
                  InstrumentKind.AUDIO_INTERFACE,
                  Roles.audioSettings(),
                  wrong.getKey(),
                  wrong.getValue()))
          .as(wrong.getKey())
          .hasSize(1);
    }
    assertThat(
            problems(
                InstrumentKind.AUDIO_INTERFACE,
                Roles.audioSettings(),
                "inputs",
                Map.of("left", "20 V", "middle", "20 V")))
        .singleElement()
        .satisfies(p -> assertThat(p.found()).contains("middle"));
  }
}
