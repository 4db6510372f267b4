package kitproof.console;

import static org.assertj.core.api.Assertions.assertThat;
import static org.awaitility.Awaitility.await;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.PipedReader;
import java.io.PipedWriter;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import kitproof.driver.Answer;
import kitproof.driver.BenchContext;
import kitproof.driver.InstrumentKind;
import kitproof.driver.LiveValue;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Settings;
import kitproof.driver.SimulatedClock;
import kitproof.driver.kit.FakeContext;
import kitproof.driver.kit.Nodes;
import kitproof.operator.Desk;
import kitproof.operator.PersonDriver;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** A person typing, on two threads as in the program; waits only for what is certain to come. */
class ConversationTest {
  private static final QuantityRange VOLTS = QuantityRange.parse("0 V..600 V", Unit.VOLT);
  private final Desk desk = new Desk();
  private final PipedWriter keys = new PipedWriter();
  private final Words words = new Words(false);
  private Operator operator;
  private Conversation conversation;

  @BeforeEach
  void begin() throws Exception {
    conversation = new Conversation(desk, new BufferedReader(new PipedReader(keys)));
    BenchContext context = new FakeContext(new SimulatedClock(Instant.EPOCH));
    Settings none = Nodes.settings(Map.of());
    operator = (Operator) new PersonDriver(desk).open(InstrumentKind.OPERATOR, none, context);
  }

  private void type(String text) throws IOException {
    keys.write(text);
    keys.flush();
  }

  private Answer answer() {
    return await()
        .atMost(Duration.ofSeconds(30))
        .until(() -> operator.answer(), Optional::isPresent)
        .orElseThrow();
  }

  @Test
  void aQuestionIsShownOnceWithItsCautionAndAnsweredByEnter() throws Exception {
    operator.ask(new Question.Confirm("close the cover", "HV is on"));
    assertThat(conversation.typing()).as("not on the screen yet").isEmpty();
    assertThat(conversation.news(words))
        .containsExactly(
            "        CAUTION  HV is on",
            "        close the cover",
            "        Type Enter when it is done, or \"no\" and why not.");
    assertThat(conversation.news(words)).isEmpty();
    assertThat(conversation.typing()).contains("        > ");
    type("\n");
    assertThat(answer()).isEqualTo(new Answer.Done());
    assertThat(conversation.typing()).isEmpty();
  }

  @Test
  void whatWasTypedBeforeTheQuestionWasOnTheScreenAnswersNothing() throws Exception {
    type("\n\n");
    operator.ask(new Question.Entry("read it", "", "hv", VOLTS));
    type("444\n");
    // Read in order: when the marker is refused, the lines before it have been passed over.
    await()
        .atMost(Duration.ofSeconds(30))
        .until(
            () -> {
              conversation.news(words);
              type("marker\n");
              return conversation.news(words);
            },
            news -> news.contains("        found \"marker\"; expected a value from 0 V to 600 V"));
    assertThat(operator.answer()).isEmpty();
    type("331\n");
    assertThat(answer()).isEqualTo(new Answer.Value(Quantity.of(331, Unit.VOLT)));
  }

  @Test
  void anAdjustmentShowsItsLatestValueInOneShortLine() throws Exception {
    QuantityRange window = QuantityRange.parse("8.6 V..9 V", Unit.VOLT);
    operator.ask(
        new Question.Adjustment("turn", "", "left bias trimmer", window, Duration.ofSeconds(3)));
    assertThat(conversation.news(words)).hasSize(2);
    assertThat(conversation.live()).contains("        waiting for a reading");
    show(8.21, false, 0);
    assertThat(conversation.live()).contains("        8.21 V   too low   (8.6 V to 9 V)");
    show(9.5, false, 0);
    assertThat(conversation.live()).contains("        9.5 V   too high   (8.6 V to 9 V)");
    show(8.8, true, 1200);
    assertThat(conversation.live())
        .contains("        8.8 V   inside, 1.2 s of 3.0 s   (8.6 V to 9 V)");
    operator.show(new LiveValue(Optional.empty(), "overload", false, Duration.ZERO));
    assertThat(conversation.live()).contains("        overload   (8.6 V to 9 V)");
    type("no, it turns through\n");
    assertThat(answer()).isEqualTo(new Answer.Declined("it turns through"));
    assertThat(conversation.live()).isEmpty();
  }

  private void show(double volts, boolean inside, long settledMillis) throws Exception {
    operator.show(
        new LiveValue(
            Optional.of(Quantity.of(volts, Unit.VOLT)),
            "",
            inside,
            Duration.ofMillis(settledMillis)));
  }

  @Test
  void anInputThatHasEndedIsNoticed() throws Exception {
    assertThat(conversation.over()).isFalse();
    keys.close();
    await().atMost(Duration.ofSeconds(30)).until(() -> conversation.over());
    assertThat(List.of(conversation.typing(), conversation.live())).allMatch(Optional::isEmpty);
  }
}
