package kitproof.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import kitproof.event.Verdict;
import kitproof.mqtt.Message;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What the board tells of units and batches. */
class BoardTest extends BoardScene {
  @Test
  void anEmptyBoardSaysThatNothingHasBeenHeardYet() {
    Overview overview = board.overview(null, 0);
    assertThat(overview.stations()).isEmpty();
    assertThat(overview.batch()).isNull();
    assertThat(overview.link().up()).isFalse();
    assertThat(overview.link().trouble()).isEqualTo("not connected yet");
    board.link(null);
    assertThat(board.overview(null, 0).link().up()).isTrue();
  }

  @Test
  void yieldsCountUnitsByTheirFirstAndLastRunAndLeaveOutTheStationsErrors() {
    Sender sender =
        new Sender("bench-1")
            .unit("A", 1, 0.5e-3) // passes at once
            .unit("B", 2, 2e-3) // fails
            .unit("C", 3, 2e-3) // fails
            .broken("D", 4, Verdict.ERROR) // says nothing of D
            .broken("E", 5, Verdict.ABORTED)
            .unit("B", 6, 0.5e-3) // repaired
            .unit("D", 7, 0.5e-3);
    Sender.deliver(board, sender.sent());
    BatchView batch = batch();
    assertThat(batch.tested()).isEqualTo(5);
    assertThat(batch.firstPassed()).as("A and D").isEqualTo(2);
    assertThat(batch.passed()).as("A, B and D").isEqualTo(3);
    assertThat(batch.firstPassYield()).isEqualTo(0.4);
    assertThat(batch.finalYield()).isEqualTo(0.6);
    assertThat(batch.units())
        .extracting(BatchView.Unit::unit)
        .as("the latest first")
        .containsExactly("D", "B", "E", "C", "A");
    assertThat(batch.units().get(1).runs()).isEqualTo(2);
    assertThat(batch.failures())
        .containsExactly(
            new BatchView.Failure("hum", true, 2, 2 / 3.0),
            new BatchView.Failure("aborted", false, 1, 1));
  }

  @Test
  void aBoardThatComesLateShowsTheSameAsOneThatHeardEverything() {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 12; i++) {
      sender.unit("LN12-" + i, i, i % 3 == 0 ? 2e-3 : 1e-4 * i);
    }
    sender.running("LN12-13", 13);
    Board late = new Board(clock(now));
    Sender.deliver(board, sender.sent());
    Sender.deliver(late, sender.retained());
    assertThat(late.overview(null, 0).batch()).isEqualTo(board.overview(null, 0).batch());
    assertThat(late.overview(null, 0).stations()).isEqualTo(board.overview(null, 0).stations());
    assertThat(late.unit("attic", "linnet-12", "LN12-3", null))
        .isPresent()
        .isEqualTo(board.unit("attic", "linnet-12", "LN12-3", null));
    assertThat(late.across(PILOT, Across.of("hum", null, 0)))
        .isPresent()
        .isEqualTo(board.across(PILOT, Across.of("hum", null, 0)));
  }

  @ParameterizedTest(name = "seed {0}")
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void repeatsAndAnyOrderOfRetainedMessagesChangeNothing(long seed) {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 5; i++) {
      sender.unit("LN12-" + i, i, i == 3 ? 2e-3 : 0.5e-3);
    }
    Sender.deliver(board, sender.sent());
    List<Message> mixed = new ArrayList<>(sender.retained());
    mixed.addAll(sender.retained());
    Collections.shuffle(mixed, new Random(seed));
    Board other = new Board(clock(now));
    Sender.deliver(other, mixed);
    Sender.deliver(board, sender.sent());
    assertThat(other.overview(PILOT, 0).batch()).as("seed %d", seed).isEqualTo(batch());
    assertThat(board.overview(PILOT, 0).count().repeats()).isEqualTo(5 * 9);
  }

  @Test
  void resultsOfARunGoingOnComeOneByOne() {
    Sender whole = new Sender("bench-1").unit("LN12-001", 1, 2e-3);
    Sender.deliver(board, whole.sent().subList(0, 3));
    UnitView unit = board.unit("attic", "linnet-12", "LN12-001", null).orElseThrow();
    assertThat(unit.partial()).isFalse();
    assertThat(unit.results()).hasSize(1);
    assertThat(unit.results().get(0).value()).isEqualTo("2 mV");
    assertThat(unit.results().get(0).limit()).isEqualTo("at most 1 mV");
    assertThat(unit.results().get(0).step()).isEqualTo("hum");
    assertThat(unit.failed()).containsExactly("hum (mode triode)");
  }

  @Test
  void aResultLostOnTheWayIsToldUntilTheRecordComes() {
    List<Message> sent = new ArrayList<>(new Sender("bench-1").unit("A", 1, 2e-3).sent());
    sent.remove(2);
    Sender.deliver(board, sent.subList(0, 5));
    assertThat(board.unit("attic", "linnet-12", "A", null).orElseThrow().partial()).isTrue();
    Sender.deliver(board, sent);
    UnitView unit = board.unit("attic", "linnet-12", "A", null).orElseThrow();
    assertThat(unit.partial()).isFalse();
    assertThat(unit.results()).hasSize(2);
  }

  @Test
  void verdictsAloneMakeTheOverviewRightBeforeAnyRecordHasCome() {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 12; i++) {
      sender.unit("LN12-" + i, i, i % 3 == 0 ? 2e-3 : 1e-4 * i);
    }
    Sender.deliver(board, sender.sent());
    Board early = new Board(clock(now));
    Sender.deliver(
        early, sender.retained().stream().filter(m -> !m.topic().contains("/record/")).toList());
    assertThat(early.overview(null, 0).batch()).isEqualTo(board.overview(null, 0).batch());
    UnitView unit = early.unit("attic", "linnet-12", "LN12-3", null).orElseThrow();
    assertThat(unit.verdict()).isEqualTo("fail");
    assertThat(unit.results()).isEmpty();
    assertThat(unit.missing()).isEqualTo(2);
    assertThat(early.across(PILOT, Across.of("hum", null, 0))).isEmpty();
    Sender.deliver(early, sender.retained());
    Sender.deliver(early, sender.retained());
    assertThat(early.unit("attic", "linnet-12", "LN12-3", null))
        .isEqualTo(board.unit("attic", "linnet-12", "LN12-3", null));
  }

  @Test
  void unitsComeByPages() {
    Sender sender = new Sender("bench-1");
    for (int i = 1; i <= 120; i++) {
      sender.unit("U" + i, i, 0.5e-3);
    }
    Sender.deliver(board, sender.retained());
    assertThat(batch().units()).hasSize(50);
    assertThat(board.overview(PILOT, 2).batch().units())
        .hasSize(20)
        .last()
        .extracting(BatchView.Unit::unit)
        .isEqualTo("U1");
    assertThat(board.overview(PILOT, 99).batch().page()).as("the last").isEqualTo(2);
  }

  @Test
  void aRunOfNoBatchDoesNotDisplaceTheBatchThatIsShown() {
    Sender sender = new Sender("bench-1").unit("CS-07", "", 1, 0.5e-3, -0.5);
    Sender.deliver(board, sender.sent());
    assertThat(board.overview(null, 0).batch().key().batch()).as("there is no other").isEmpty();
    Sender.deliver(board, sender.unit("A", 2, 0.5e-3).sent());
    Sender.deliver(board, sender.unit("CS-07", "", 3, 0.5e-3, -0.5).sent());
    assertThat(board.overview(null, 0).batch().key()).isEqualTo(PILOT);
    assertThat(board.overview(null, 0).batches())
        .as("the latest first")
        .containsExactly(new BatchKey("attic", "linnet-12", ""), PILOT);
    Sender.deliver(board, sender.unit("B", "second", 4, 0.5e-3, -0.5).sent());
    assertThat(board.overview(null, 0).batch().key().batch()).isEqualTo("second");
  }

  @Test
  void whoWaitsIsToldOfAChange() throws InterruptedException {
    long seen = board.version();
    Sender.deliver(board, new Sender("bench-1").status("online", "").sent());
    assertThat(board.await(seen, Duration.ofDays(1))).isGreaterThan(seen);
    long now = board.version();
    assertThat(board.await(now, Duration.ofMillis(1))).isEqualTo(now);
  }
}
