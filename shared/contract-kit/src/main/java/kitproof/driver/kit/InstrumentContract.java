package kitproof.driver.kit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatCode;
import static org.assertj.core.api.Assertions.catchThrowableOfType;

import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import org.junit.jupiter.api.Test;

/**
 * What holds for every instrument.
 *
 * <p>Extend the contract of your kind; if your instrument talks over a line, implement {@link
 * LineFaultContract} too.
 *
 * @param <I> the kind's interface
 */
public abstract class InstrumentContract<I extends Instrument> {
  /** Opens the instrument under test afresh, through the code a bench would use. */
  public abstract I open() throws InstrumentException;

  /** One call that needs the instrument to be there. */
  abstract void use(I instrument) throws InstrumentException;

  @Test
  void saysWhoItIs() throws Exception {
    try (I instrument = open()) {
      assertThat(instrument.identity().model()).isNotBlank();
      assertThat(instrument.identity().toString()).isNotBlank();
    }
  }

  @Test
  void isUsableAfterOpening() throws Exception {
    try (I instrument = open()) {
      use(instrument);
    }
  }

  @Test
  void mayBeMadeSafeAgainAndAgainAndUsedAfterwards() throws Exception {
    try (I instrument = open()) {
      instrument.makeSafe();
      use(instrument);
      instrument.makeSafe();
      instrument.makeSafe();
      use(instrument);
    }
  }

  @Test
  void mayBeClosedTwiceAndStillSaysWhoItIs() throws Exception {
    I instrument = open();
    String name = instrument.identity().toString();
    instrument.close();
    assertThatCode(instrument::close).doesNotThrowAnyException();
    assertThat(instrument.identity()).hasToString(name);
  }

  @Test
  void makingSafeAfterCloseIsHarmless() throws Exception {
    I instrument = open();
    instrument.close();
    assertThatCode(instrument::makeSafe).doesNotThrowAnyException();
  }

  @Test
  void usingItAfterCloseIsUnreachable() throws Exception {
    I instrument = open();
    instrument.close();
    assertFails(InstrumentException.Kind.UNREACHABLE, () -> use(instrument));
  }

  @Test
  void canBeOpenedAgainAfterClose() throws Exception {
    open().close();
    try (I instrument = open()) {
      use(instrument);
    }
  }

  /** Something that may fail with an instrument's exception. */
  @FunctionalInterface
  public interface Action {
    void run() throws InstrumentException;
  }

  /** Asserts that the action fails as the contract says, with a message for people. */
  public static InstrumentException assertFails(InstrumentException.Kind kind, Action action) {
    InstrumentException failure = catchThrowableOfType(InstrumentException.class, action::run);
    assertThat(failure).as("an InstrumentException of kind " + kind).isNotNull();
    assertThat(failure.kind()).as(failure.toString()).isEqualTo(kind);
    assertThat(failure).message().isNotBlank();
    return failure;
  }
}
