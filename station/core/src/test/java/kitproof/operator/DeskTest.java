package kitproof.operator;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.util.Optional;
import kitproof.driver.Answer;
import kitproof.driver.LiveValue;
import kitproof.driver.Question;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class DeskTest {
  private static final Question CONFIRM = new Question.Confirm("close the cover", "");
  private static final QuantityRange VOLTS = QuantityRange.parse("0 V..600 V", Unit.VOLT);
  private static final Question ENTRY = new Question.Entry("read it", "", "hv by eye", VOLTS);
  private static final Question ADJUST =
      new Question.Adjustment("turn", "", "trimmer", VOLTS, Duration.ofSeconds(2));

  private final Desk desk = new Desk();

  private long standing() {
    return desk.standing().orElseThrow().number();
  }

  @Test
  void anAnswerMeetsTheQuestionItWasMeantForOrNone() {
    desk.ask(CONFIRM);
    long first = standing();
    desk.ask(ENTRY);
    assertThat(desk.answer(first, new Answer.Done()))
        .contains("the question does not stand any more");
    assertThat(desk.taken()).isEmpty();
    assertThat(desk.answer(standing(), new Answer.Value(Quantity.of(3, Unit.VOLT)))).isEmpty();
    assertThat(desk.standing()).isEmpty();
    assertThat(desk.taken()).contains(new Answer.Value(Quantity.of(3, Unit.VOLT)));
  }

  @Test
  void ofTwoAnswersTheFirstCounts() {
    desk.ask(CONFIRM);
    long number = standing();
    assertThat(desk.answer(number, new Answer.Declined("no lamp"))).isEmpty();
    assertThat(desk.answer(number, new Answer.Done())).isPresent();
    assertThat(desk.taken()).contains(new Answer.Declined("no lamp"));
  }

  @Test
  void whatWasTakenBackCannotBeAnswered() {
    desk.ask(CONFIRM);
    long number = standing();
    desk.withdraw();
    assertThat(desk.answer(number, new Answer.Done())).isPresent();
    assertThat(desk.taken()).isEmpty();
  }

  @Test
  void aValueIsOfTheRightUnitAndPlausible() {
    desk.ask(ENTRY);
    assertThat(desk.answer(standing(), new Answer.Value(Quantity.of(700, Unit.VOLT))))
        .contains("found 700 V; expected a value from 0 V to 600 V");
    assertThat(desk.answer(standing(), new Answer.Value(Quantity.of(7, Unit.WATT)))).isPresent();
    assertThat(desk.answer(standing(), new Answer.Done())).isPresent();
    assertThat(desk.taken()).isEmpty();
  }

  @Test
  void nobodyCanAcceptAnAdjustmentButItsReading() {
    desk.ask(ADJUST);
    assertThat(desk.answer(standing(), new Answer.Done())).isPresent();
    assertThat(desk.answer(standing(), new Answer.Declined(""))).isEmpty();
  }

  @Test
  void onlyTheLatestValueIsKeptAndGoesWithItsQuestion() throws Exception {
    LiveValue value =
        new LiveValue(Optional.of(Quantity.of(1, Unit.VOLT)), "", true, Duration.ZERO);
    desk.show(value);
    assertThat(desk.live()).isEmpty();
    desk.ask(ADJUST);
    long mark = desk.seen();
    desk.show(value);
    desk.await(mark, Duration.ofHours(1)); // returns at once: something has changed
    assertThat(desk.live()).contains(value);
    desk.withdraw();
    assertThat(desk.live()).isEmpty();
  }

  @ParameterizedTest
  @CsvSource({
    "'',done",
    "Yes,done",
    "no,declined",
    "'n: the lamp is broken',declined: the lamp is broken"
  })
  void wordsForAConfirmation(String typed, String answer) {
    assertThat(Typed.answer(CONFIRM, typed)).hasToString(answer);
  }

  @ParameterizedTest
  @CsvSource({"331,331 V", "'331,5',331.5 V", "0.331 kV,331 V", "331 V,331 V", "no,declined"})
  void wordsForAnEntry(String typed, String answer) {
    assertThat(Typed.answer(ENTRY, typed)).hasToString(answer);
  }

  @Test
  void otherWordsAreToldWhatWasExpected() {
    assertThatThrownBy(() -> Typed.answer(ENTRY, "about 300"))
        .hasMessage("found \"about 300\"; expected a value from 0 V to 600 V");
    assertThatThrownBy(() -> Typed.answer(ENTRY, ""))
        .hasMessage("found \"\"; expected a value from 0 V to 600 V");
    assertThatThrownBy(() -> Typed.answer(CONFIRM, "perhaps"))
        .hasMessage("found \"perhaps\"; expected Enter when it is done, or \"no\" and why not");
    assertThatThrownBy(() -> Typed.answer(ADJUST, ""))
        .hasMessage("found \"\"; expected \"no\" to give it up, and why");
  }
}
