package kitproof.driver.relayswitcher;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.Set;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentException.Kind;
import kitproof.driver.RelayBoard;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.Calls;
import kitproof.driver.kit.FakeRelayBoard;
import org.junit.jupiter.api.Test;

/** What is asked again, what is not, and how often. */
class AskedAgainTest {
  private static final InstrumentException SILENT =
      new InstrumentException(Kind.TIMEOUT, "no answer");
  private static final InstrumentException GARBLED =
      new InstrumentException(Kind.PROTOCOL, "read coils", new GarbledReply("garbled"));
  private static final InstrumentException REFUSED =
      new InstrumentException(Kind.PROTOCOL, "refused");
  private static final InstrumentException GONE =
      new InstrumentException(Kind.UNREACHABLE, "unplugged");

  private final Deque<InstrumentException> replies = new ArrayDeque<>();
  private final List<String> told = new ArrayList<>();
  private final FakeRelayBoard fake =
      new FakeRelayBoard(new Calls(new SimulatedClock(Instant.EPOCH)), "relays", Set.of("K1"));
  private boolean safeStateWaits;
  private final AskedAgain board = new AskedAgain(new Noisy(), told::add, () -> safeStateWaits);
  private int asked;

  /** Obeys each command, and loses what stands in the list. */
  private final class Noisy implements RelayBoard {
    private void reply() throws InstrumentException {
      asked++;
      InstrumentException next = replies.poll();
      if (next != null) {
        throw next;
      }
    }

    @Override
    public Identity identity() {
      return fake.identity();
    }

    @Override
    public void recognise() throws InstrumentException {
      reply();
    }

    @Override
    public void set(Map<String, Boolean> wanted) throws InstrumentException {
      fake.set(wanted);
      reply();
    }

    @Override
    public Set<String> energised() throws InstrumentException {
      reply();
      return fake.energised();
    }

    @Override
    public void close() throws InstrumentException {
      fake.close();
    }
  }

  @Test
  void aLostReplyIsAskedForOnceMoreAndTold() throws Exception {
    replies.add(SILENT);
    board.set(Map.of("K1", true));
    assertThat(asked).isEqualTo(2);
    assertThat(fake.now()).containsExactly("K1");
    assertThat(told).containsExactly("no answer; asked again, and answered");
  }

  @Test
  void soIsAGarbledOne() throws Exception {
    replies.add(GARBLED);
    assertThat(board.energised()).isEmpty();
    assertThat(told).containsExactly("read coils; asked again, and answered");
  }

  @Test
  void soIsTheQuestionWhoItIs() throws Exception {
    replies.add(SILENT);
    board.recognise();
    assertThat(told).hasSize(1);
  }

  @Test
  void aSecondLossOfTheSameReplyIsAFailure() {
    replies.addAll(List.of(SILENT, SILENT));
    assertThatThrownBy(board::energised)
        .isInstanceOf(InstrumentException.class)
        .hasMessage("no answer; asked twice");
    assertThat(asked).isEqualTo(2);
    assertThat(told).isEmpty();
  }

  @Test
  void whatTheBoardRefusesAndALineThatIsGoneAreNotAskedAgain() {
    for (InstrumentException failure : List.of(REFUSED, GONE)) {
      replies.add(failure);
      asked = 0;
      assertThatThrownBy(board::energised).isSameAs(failure);
      assertThat(asked).isEqualTo(1);
    }
  }

  @Test
  void aSecondLossSoonAfterIsAFailureAndALaterOneIsNot() throws Exception {
    for (int well : new int[] {0, 1, AskedAgain.WELL_BETWEEN - 1}) {
      enoughAnswers();
      replies.add(SILENT);
      board.energised();
      for (int i = 0; i < well; i++) {
        board.energised();
      }
      replies.add(SILENT);
      assertThatThrownBy(board::energised).as("after %d", well).isSameAs(SILENT);
    }
    enoughAnswers();
    replies.add(SILENT);
    board.energised();
    assertThat(told).hasSize(4);
  }

  private void enoughAnswers() throws InstrumentException {
    for (int i = 0; i < AskedAgain.WELL_BETWEEN; i++) {
      board.energised();
    }
  }

  @Test
  void aBoardThatIsSilentIsAskedOnceOnlyFromThenOn() {
    replies.addAll(List.of(SILENT, SILENT, SILENT));
    assertThatThrownBy(board::energised).hasMessageContaining("asked twice");
    asked = 0;
    assertThatThrownBy(() -> board.set(Map.of("K1", false))).isSameAs(SILENT);
    assertThat(asked).as("what takes the mains away next is not held up again").isEqualTo(1);
  }

  @Test
  void whileTheSafeStateWaitsNothingIsAskedAgain() {
    safeStateWaits = true;
    replies.addAll(List.of(SILENT, SILENT));
    assertThatThrownBy(board::energised).isSameAs(SILENT);
    assertThat(asked).isEqualTo(1);
    safeStateWaits = false;
    assertThatThrownBy(() -> board.set(Map.of("K1", false)))
        .as("the loss counts as the first of two")
        .isSameAs(SILENT);
    assertThat(asked).isEqualTo(2);
    assertThat(told).isEmpty();
  }
}
