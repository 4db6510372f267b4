package kitproof.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import kitproof.mqtt.Message;
import org.junit.jupiter.api.Test;

/** A result across a batch. */
class BoardAcrossTest extends BoardScene {
  @Test
  void aValueThatNoBenchMeasuresIsNotValidAndBreaksNoPage() {
    Sender.deliver(board, new Sender("bench-1").unit("A", 1, 1e39).unit("B", 2, 0.5e-3).sent());
    AcrossView across = board.across(PILOT, "hum", null, 0).orElseThrow();
    assertThat(across.values())
        .extracting(AcrossView.Value::shown)
        .containsExactly("500 uV", "not valid");
    assertThat(across.points().get(0).mean()).isNull();
    assertThat(board.unit("attic", "linnet-12", "A", null).orElseThrow().results()).hasSize(2);
    List<Message> curve = new Sender("bench-1").unit("C", "pilot", 3, 0.5e-3, 1e39).sent();
    Sender.deliver(board, curve);
    assertThat(board.across(PILOT, "frequency response", null, 0).orElseThrow().values().get(0))
        .extracting(AcrossView.Value::shown)
        .isEqualTo("empty curve");
  }

  @Test
  void aResultAcrossTheBatchHasItsLimitsAndSpread() {
    double[] flow = {49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1};
    Sender sender = new Sender("bench-1");
    for (int i = 0; i < flow.length; i++) {
      sender.unit("U" + i, i + 1, flow[i] * 1e-6);
    }
    Sender.deliver(board, sender.sent());
    AcrossView across = board.across(PILOT, "hum", null, 0).orElseThrow();
    assertThat(across.variants()).containsExactly("mode triode");
    assertThat(across.unit()).isEqualTo("V");
    assertThat(across.values())
        .as("the latest first")
        .extracting(AcrossView.Value::unit)
        .startsWith("U9", "U8");
    assertThat(across.values().get(0).shown()).isEqualTo("52.1 uV");
    AcrossView.Point first = across.points().get(0);
    assertThat(first.one()).extracting(AcrossView.Value::unit).isEqualTo("U0");
    assertThat(first.mean()).isEqualTo(49.6e-6);
    assertThat(first.high()).isEqualTo(1e-3);
    assertThat(first.low()).isNull();
    // NIST/SEMATECH e-Handbook 6.3.2.2, its example in microvolts
    assertThat(across.spread().high()).isCloseTo(55.8041e-6, within(5e-11));
    AcrossView curves = board.across(PILOT, "frequency response", "mode triode", 0).orElseThrow();
    assertThat(curves.curves()).hasSize(10);
    assertThat(curves.curves().get(0).curve().mask()).hasSize(4);
    assertThat(board.across(PILOT, "nothing", null, 0)).isEmpty();
  }

  @Test
  void aBatchOfManyUnitsHasAChartOfFewPoints() {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 500; i++) {
      sender.unit("U" + i, i, i == 400 ? 2e-3 : 1e-6 * i);
    }
    Sender.deliver(
        board, sender.sent().stream().filter(m -> m.topic().contains("/record/")).toList());
    AcrossView across = board.across(PILOT, "hum", null, 0).orElseThrow();
    assertThat(across.units()).isEqualTo(500);
    assertThat(across.notPassed()).isEqualTo(1);
    assertThat(across.points()).hasSize(250);
    AcrossView.Point point = across.points().get(199);
    assertThat(point)
        .extracting(AcrossView.Point::from, AcrossView.Point::to, AcrossView.Point::notPassed)
        .containsExactly(399, 400, 1);
    assertThat(point.least()).isEqualTo(399e-6);
    assertThat(point.most()).isEqualTo(2e-3);
    assertThat(point.mean()).isCloseTo((399e-6 + 2e-3) / 2, within(1e-9));
    assertThat(across.values()).hasSize(50);
    assertThat(board.across(PILOT, "hum", null, 9).orElseThrow().values())
        .last()
        .extracting(AcrossView.Value::unit)
        .isEqualTo("U1");
    assertThat(batch().tested()).isEqualTo(500);
  }
}
