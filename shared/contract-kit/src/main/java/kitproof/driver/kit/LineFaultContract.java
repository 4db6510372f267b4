package kitproof.driver.kit;

import static kitproof.driver.kit.InstrumentContract.assertFails;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import org.junit.jupiter.api.Test;

/**
 * What holds for every instrument that talks over a line, when the line or the instrument fails.
 *
 * <p>A test class of a driver extends its kind's contract and implements this. Each test befalls
 * every reply of a call in turn.
 *
 * @param <I> the kind's interface
 */
public interface LineFaultContract<I extends Instrument> {
  /** The same as the kind's contract. Opens over {@link #line()}. */
  I open() throws InstrumentException;

  /** The line that {@link #open()} uses; one per test. */
  ScriptedLine line();

  /** One question to the instrument, with its answer. */
  Object ask(I instrument) throws InstrumentException;

  /** Makes the far side answer differently for each number; returns what it must be read as. */
  Object truth(int number);

  /** How many replies one {@link #ask} takes when all is well. */
  int repliesPerAsk();

  /** The longest that one call may take; shorter than {@link ScriptedLine#LATENESS}. */
  Duration deadline();

  @Test
  default void aLineThatNeverAnswersIsATimeoutWithinTheDeadline() throws Exception {
    befall(ScriptedLine.Fault.SILENT, InstrumentException.Kind.TIMEOUT);
  }

  @Test
  default void halfAnAnswerIsATimeoutWithinTheDeadline() throws Exception {
    befall(ScriptedLine.Fault.HALF, InstrumentException.Kind.TIMEOUT);
  }

  @Test
  default void aGarbledAnswerIsAProtocolFailure() throws Exception {
    befall(ScriptedLine.Fault.GARBLED, InstrumentException.Kind.PROTOCOL);
  }

  @Test
  default void aLateAnswerIsATimeoutAndNeverTakenForTheNextQuestions() throws Exception {
    befall(ScriptedLine.Fault.LATE, InstrumentException.Kind.TIMEOUT);
  }

  @Test
  default void aLostLineIsUnreachableAndOpenedAgainOnNextUse() throws Exception {
    befall(ScriptedLine.Fault.LOST, InstrumentException.Kind.UNREACHABLE);
  }

  @Test
  default void aLateAnswerThatComesDuringTheNextQuestionIsNotTakenForItsAnswer() throws Exception {
    for (int skip = 0; skip < repliesPerAsk(); skip++) {
      try (I instrument = open()) {
        truth(1);
        line().failOnce(ScriptedLine.Fault.LATE, skip);
        assertFails(InstrumentException.Kind.TIMEOUT, () -> ask(instrument));
        Object right = truth(2);
        for (int i = 0; i < 20; i++) {
          assertThat(ask(instrument)).as("after reply %d came late", skip).isEqualTo(right);
          line().clock().sleep(ScriptedLine.LATENESS.dividedBy(15));
        }
      }
    }
  }

  @Test
  default void aBusyInstrumentThatAnswersLateAndInOrderIsNeverMisread() throws Exception {
    for (int skip = 0; skip < repliesPerAsk(); skip++) {
      try (I instrument = open()) {
        truth(1);
        line().failOnce(ScriptedLine.Fault.BUSY, skip);
        assertFails(InstrumentException.Kind.TIMEOUT, () -> ask(instrument));
        boolean right = false;
        for (int i = 0; i < 60; i++) {
          Object expected = truth(1 + Integer.bitCount(i) % 2); // repeats nothing regularly
          try {
            assertThat(ask(instrument)).as("after reply %d was late", skip).isEqualTo(expected);
            right = true;
          } catch (InstrumentException e) {
            right = false; // saying that there is no answer is no mistake
          }
          line().clock().sleep(ScriptedLine.LATENESS.dividedBy(37));
        }
        assertThat(right).as("it was answered in the end").isTrue();
      }
    }
  }

  @Test
  default void aSilentInstrumentCannotBeOpened() {
    line().failAlways(ScriptedLine.Fault.SILENT);
    assertFails(InstrumentException.Kind.TIMEOUT, this::open);
    assertThat(line().isOpen()).as("the line stays open after a failed opening").isFalse();
  }

  @Test
  default void closingOverALostLineLetsGoOfIt() throws Exception {
    I instrument = open();
    line().failAlways(ScriptedLine.Fault.LOST);
    assertFails(InstrumentException.Kind.UNREACHABLE, () -> ask(instrument));
    try {
      instrument.close();
    } catch (InstrumentException e) {
      assertThat(e.kind()).isEqualTo(InstrumentException.Kind.UNREACHABLE);
    }
    assertThat(line().isOpen()).isFalse();
    instrument.close();
  }

  /** Befalls each reply of a call in turn, and asks again. */
  private void befall(ScriptedLine.Fault fault, InstrumentException.Kind kind) throws Exception {
    for (int skip = 0; skip < repliesPerAsk(); skip++) {
      try (I instrument = open()) {
        Object first = truth(1);
        assertThat(ask(instrument)).isEqualTo(first);
        line().failOnce(fault, skip);
        long before = line().clock().nanos();
        assertFails(kind, () -> ask(instrument));
        assertThat(Duration.ofNanos(line().clock().nanos() - before))
            .as("reply %d %s: time taken", skip, fault)
            .isLessThanOrEqualTo(deadline());
        assertThat(line().faultPending()).as("the fault happened").isFalse();
        Object right = truth(2);
        line().mend();
        assertThat(ask(instrument)).as("after reply %d %s", skip, fault).isEqualTo(right);
        line().clock().sleep(ScriptedLine.LATENESS);
        assertThat(ask(instrument)).as("much later").isEqualTo(right);
      }
    }
  }
}
