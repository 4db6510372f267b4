package kitproof.screen;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import kitproof.limit.Judge;
import kitproof.limit.LimitFile;
import kitproof.plan.Plan;
import kitproof.plan.PlanReader;
import kitproof.procedure.Heard;
import kitproof.value.Quantity;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class AudibleTest {
  private static final String CONDITIONS = "conditions: {mode: triode, tap: 8 ohm, channel: both}";

  @TempDir Path folder;
  private Audible gain;
  private Audible climb;
  private Audible hum;

  @BeforeEach
  void read() throws Exception {
    Path file =
        Files.writeString(
            folder.resolve("plan.yaml"),
            """
            plan: sound
            product: Linnet 12
            revision: B
            limits: limits.yaml
            steps:
              - {step: gain, procedure: gain, %s, power: 1 W}
              - {step: climb, procedure: distortion-against-power, %s, powers: 50 mW..20 W}
              - {step: hum, procedure: hum, %s}
            """
                .formatted(CONDITIONS, CONDITIONS, CONDITIONS));
    Plan plan = PlanReader.read(file).value();
    LimitFile limits =
        LimitFile.read(
                "limits.yaml",
                """
                limits: sound
                product: Linnet 12
                revision: B
                rule: simple acceptance
                judge:
                  - {result: gain, when: {channel: left}, low: 26.7 dB, high: 27.9 dB}
                  - {result: gain, when: {channel: right}, low: 20 dB}
                  - result: thd+n against power
                    mask: [{at: 100 mW, high: 1 %}, {at: 10 W, high: 3 %}]
                """)
            .value();
    Judge judge = new Judge(limits);
    gain = new Audible(plan.steps().get(0), judge);
    climb = new Audible(plan.steps().get(1), judge);
    hum = new Audible(plan.steps().get(2), judge);
  }

  private static Heard tone(String channel, Heard.Figure... figures) {
    return new Heard(
        channel,
        Quantity.parse("2.83 V"),
        Quantity.parse("999.9 Hz"),
        Quantity.parse("1.001 W"),
        List.of(figures));
  }

  private static Heard.Figure figure(String result, String at, String value) {
    return new Heard.Figure(result, at == null ? null : Quantity.parse(at), Quantity.parse(value));
  }

  @Test
  void aFigureOnItsWayStandsAgainstTheLimitOfItsChannel() {
    Heard.Figure low = figure("gain", null, "24 dB");
    RunView.LiveView left = Bars.of(gain, tone("left", figure("thd", null, "9 %"), low));
    assertThat(left.source()).isEqualTo("left: gain, 1 kHz, 2.83 V, 1 W");
    assertThat(left.value()).isEqualTo("24 dB");
    assertThat(left.low()).isEqualTo("26.7 dB");
    assertThat(left.high()).isEqualTo("27.9 dB");
    assertThat(left.where()).isEqualTo("too low");
    assertThat(left.at()).isBetween(0.0, left.from());
    assertThat(Bars.of(gain, tone("right", low)).where()).isEqualTo("inside");
  }

  @Test
  void aPointOfACurveStandsAgainstTheMaskWhereItIs() {
    RunView.LiveView view =
        Bars.of(climb, tone("left", figure("thd+n against power", "1 W", "2.5 %")));
    assertThat(view.high()).as("half way up on a logarithmic axis").isEqualTo("2 %");
    assertThat(view.where()).isEqualTo("too high");
    RunView.LiveView beyond =
        Bars.of(climb, tone("left", figure("thd+n against power", "12 W", "2.5 %")));
    assertThat(beyond.where()).as("beyond the mask").isEmpty();
    assertThat(beyond.value()).as("so the level is told").isEqualTo("2.83 V");
  }

  @Test
  void whatTheStepDoesNotPromiseIsNotHeldAgainstItsLimits() {
    RunView.LiveView view = Bars.of(climb, tone("left", figure("gain", null, "24 dB")));
    assertThat(view.source()).isEqualTo("left: 1 kHz, 1 W");
    assertThat(view.value()).isEqualTo("2.83 V");
    assertThat(view.where()).isEmpty();
  }

  @Test
  void withoutAToneTheLevelIsTold() {
    Heard silence = new Heard("", Quantity.parse("0.21 mV"), null, null, List.of());
    RunView.LiveView view = Bars.of(hum, silence);
    assertThat(view.source()).isEqualTo("output");
    assertThat(view.value()).isEqualTo("210 uV");
    assertThat(view.at()).isNull();
  }
}
