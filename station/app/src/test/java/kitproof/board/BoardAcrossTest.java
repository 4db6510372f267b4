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
    AcrossView across = board.across(PILOT, Across.of("hum", null, 0)).orElseThrow();
    assertThat(across.values())
        .extracting(AcrossView.Value::shown)
        .containsExactly("500 uV", "not valid");
    assertThat(across.points().get(0).mean()).isNull();
    assertThat(board.unit("attic", "linnet-12", "A", null).orElseThrow().results()).hasSize(2);
    List<Message> curve = new Sender("bench-1").unit("C", "pilot", 3, 0.5e-3, 1e39).sent();
    Sender.deliver(board, curve);
    assertThat(
            board
                .across(PILOT, Across.of("frequency response", null, 0))
                .orElseThrow()
                .values()
                .get(0))
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
    AcrossView across = board.across(PILOT, Across.of("hum", null, 0)).orElseThrow();
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
    // NIST/SEMATECH e-Handbook 6.3.2.2, its example in microvolts; printed with d2 as 1.128
    AcrossView.Statistics statistics = across.statistics();
    assertThat(statistics.centre()).isCloseTo(50.81e-6, within(1e-11));
    assertThat(statistics.high()).isCloseTo(55.8041e-6, within(2e-9));
    assertThat(statistics.low()).isCloseTo(45.8159e-6, within(2e-9));
    AcrossView curves =
        board.across(PILOT, Across.of("frequency response", "mode triode", 0)).orElseThrow();
    assertThat(curves.curves()).hasSize(10);
    assertThat(curves.curves().get(0).curve().mask()).hasSize(4);
    assertThat(board.across(PILOT, Across.of("nothing", null, 0))).isEmpty();
  }

  /** What it rests on is tested in kitproof.limit.statistics, against the handbooks. */
  @Test
  void itTellsTheSameOfTheValuesAsTheReportOfTheBatch() {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 30; i++) {
      sender.unit("U" + i, i, i == 20 ? 0.9e-3 : 0.5e-3 + 1e-6 * (i * 7 % 5));
    }
    Sender.deliver(board, sender.sent());
    AcrossView.Statistics statistics =
        board.across(PILOT, Across.of("hum", null, 0)).orElseThrow().statistics();
    assertThat(statistics.facts())
        .extracting(AcrossView.Fact::word)
        .containsExactly("Mean", "Standard deviation", "Cpk");
    assertThat(statistics.facts().get(2).more()).contains("with 95 % confidence");
    assertThat(statistics.remarks())
        .anyMatch(remark -> remark.startsWith("U20 is unlike its sisters, 900 uV"))
        .anyMatch(remark -> remark.startsWith("1 point beyond 3 sigma at U20"));
    assertThat(statistics.warnings()).contains("not normal").doesNotContain("few data");
    assertThat(statistics.marks())
        .contains(new AcrossView.Mark(20, List.of("1 point beyond 3 sigma")));
    assertThat(
            board
                .across(PILOT, Across.of("frequency response", null, 0))
                .orElseThrow()
                .statistics())
        .as("of curves")
        .isNull();
  }

  @Test
  void theParetoChartAndTheResultsPageCountTheSame() {
    Sender sender = new Sender("bench-1");
    sender.unit("A", 1, 2e-3).unit("B", 2, 0.5e-3).unit("C", 3, 2e-3).unit("D", 4, 0.5e-3);
    sender.unit("A", 5, 0.5e-3).unit("D", 6, 2e-3); // mended, and broken since
    Sender.deliver(board, sender.sent());
    assertThat(batch().failures()).containsExactly(new BatchView.Failure("hum", true, 2, 1));
    AcrossView across = board.across(PILOT, Across.of("hum", null, 0)).orElseThrow();
    assertThat(across.firstFailed()).isEqualTo(2);
    assertThat(across.notPassed()).as("by the last runs: C and D").isEqualTo(2);
    assertThat(across.values())
        .filteredOn(AcrossView.Value::firstFailed)
        .extracting(AcrossView.Value::unit)
        .containsExactlyInAnyOrder("A", "C");
  }

  @Test
  void guardBandsAndTheLackOfACalibrationAreTold() {
    Sender sender = new Sender("bench-1").guarded(2e-5).uncalibrated();
    sender.unit("A", 1, 0.5e-3).unit("B", 2, 0.6e-3);
    Board late = new Board(clock(now));
    Sender.deliver(board, sender.sent());
    Sender.deliver(late, sender.retained());
    for (Board one : List.of(board, late)) {
      AcrossView across = one.across(PILOT, Across.of("hum", null, 0)).orElseThrow();
      assertThat(across.guarded().low()).isNull();
      assertThat(across.guarded().high()).isCloseTo(0.98e-3, within(1e-12));
      assertThat(across.values()).allMatch(AcrossView.Value::uncalibrated);
      UnitView unit = one.unit("attic", "linnet-12", "A", null).orElseThrow();
      assertThat(unit.uncalibrated()).isTrue();
      assertThat(unit.results().get(0).guard()).isEqualTo("guard band 20 uV");
      assertThat(unit.results()).extracting(ResultView::note).containsOnly("uncalibrated");
      assertThat(unit.results().get(1).curve().guard()).isEqualTo(new ResultView.Guard(0.1, 0.1));
      assertThat(one.overview(null, 0).batch().units()).allMatch(BatchView.Unit::uncalibrated);
    }
    assertThat(station().uncalibrated()).isTrue();
    Sender.deliver(board, new Sender("bench-1").unit("C", 3, 0.5e-3).sent());
    assertThat(station().uncalibrated()).isFalse();
  }

  /** Expanded by 2, of two digits that are rounded up: JCGM 100:2008, 7.2.6. */
  @Test
  void theUncertaintyIsToldLiveAndByTheRecord() {
    Sender sender = new Sender("bench-1").known(6.11e-6).unit("A", 1, 0.5e-3);
    Board late = new Board(clock(now));
    Sender.deliver(board, sender.sent().subList(0, 4));
    Sender.deliver(late, sender.retained());
    for (Board one : List.of(board, late)) {
      ResultView hum = one.unit("attic", "linnet-12", "A", null).orElseThrow().results().get(0);
      assertThat(hum.uncertainty()).isEqualTo("\u00b1\u00a013\u00a0\u00b5V at k = 2");
    }
    Sender.deliver(board, new Sender("bench-1").unit("B", 2, 0.5e-3).sent());
    assertThat(board.unit("attic", "linnet-12", "B", null).orElseThrow().results())
        .extracting(ResultView::uncertainty)
        .as("not known")
        .containsOnly("");
  }

  /** What a station sends of a unit whose hum was compared with that of another one. */
  private static List<Message> compared(String unit, int minute, String with) {
    return new Sender("bench-1")
        .uncalibrated().unit(unit, minute, 0.1e-3 * minute).retained().stream()
            .map(
                m ->
                    new Message(
                        m.topic(),
                        m.id(),
                        m.payload()
                            .replace("{\"mode\":\"triode\"}", "{\"against unit\":\"reference\"}")
                            .replace(
                                "\"note\":\"uncalibrated\"",
                                "\"note\":\"uncalibrated; less that of "
                                    + with
                                    + ", attempt 2 (run R1)\""),
                        m.retained(),
                        m.kept()))
            .toList();
  }

  @Test
  void differencesFromSeveralReferenceUnitsAreApart() {
    Sender.deliver(board, compared("A", 1, "LN12-090"));
    Sender.deliver(board, compared("B", 2, "LN12-091"));
    Sender.deliver(board, compared("C", 3, "LN12-090"));
    String first = "against unit reference LN12-090";
    AcrossView across = board.across(PILOT, Across.of("hum", first, 0)).orElseThrow();
    assertThat(across.variants())
        .containsExactlyInAnyOrder(first, "against unit reference LN12-091");
    assertThat(across.values()).extracting(AcrossView.Value::unit).containsExactly("C", "A");
    assertThat(
            board.across(PILOT, Across.of("frequency response", first, 0)).orElseThrow().curves())
        .hasSize(2);
  }

  @Test
  void aBatchOfManyUnitsHasAChartOfFewPoints() {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 500; i++) {
      sender.unit("U" + i, i, i == 400 ? 2e-3 : 1e-6 * i);
    }
    Sender.deliver(
        board, sender.sent().stream().filter(m -> m.topic().contains("/record/")).toList());
    AcrossView across = board.across(PILOT, Across.of("hum", null, 0)).orElseThrow();
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
    assertThat(board.across(PILOT, Across.of("hum", null, 9)).orElseThrow().values())
        .last()
        .extracting(AcrossView.Value::unit)
        .isEqualTo("U1");
    assertThat(batch().tested()).isEqualTo(500);
  }
}
