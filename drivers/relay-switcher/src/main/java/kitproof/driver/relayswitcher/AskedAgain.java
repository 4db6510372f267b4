package kitproof.driver.relayswitcher;

import java.util.Map;
import java.util.Set;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.RelayBoard;

/**
 * A board on a line that now and then swallows a reply: what had no answer is asked once more.
 *
 * <p>That is safe because nothing of it counts: states are read, and a command says how a relay is
 * to be, not how it is to change. That an old reply is not taken for the new one is the matter of
 * the board behind this. What a board refuses, and a line that is gone, are not asked again. Nor is
 * a line on which replies are lost often: a second loss, in the same question or before {@value
 * #WELL_BETWEEN} answers have come as they should, is a failure. A board that cannot be heard may
 * not obey either, and it takes the mains away. And nothing is asked again while the safe state
 * waits behind it: mains off is not held up for what no longer matters.
 */
final class AskedAgain implements RelayBoard {
  /** Some seconds of a run: a look at the board each second, and what its steps switch. */
  static final int WELL_BETWEEN = 20;

  private final RelayBoard board;
  private final Consumer<String> told;
  private final BooleanSupplier safeStateWaits;
  private int wellSince = WELL_BETWEEN;

  /**
   * Over this board.
   *
   * @param told what had to be asked for twice, for people
   * @param safeStateWaits whether the board is to be put to rest as soon as this question is over
   */
  AskedAgain(RelayBoard board, Consumer<String> told, BooleanSupplier safeStateWaits) {
    this.board = board;
    this.told = told;
    this.safeStateWaits = safeStateWaits;
  }

  private interface Question<T> {
    T ask() throws InstrumentException;
  }

  private <T> T answer(Question<T> question) throws InstrumentException {
    InstrumentException lost;
    try {
      T answer = question.ask();
      wellSince = Math.min(WELL_BETWEEN, wellSince + 1);
      return answer;
    } catch (InstrumentException e) {
      if (!isLost(e) || wellSince < WELL_BETWEEN) {
        throw e;
      }
      lost = e;
    }
    wellSince = 0;
    if (safeStateWaits.getAsBoolean()) {
      throw lost;
    }
    try {
      T answer = question.ask();
      told.accept(lost.getMessage() + "; asked again, and answered");
      return answer;
    } catch (InstrumentException e) {
      throw new InstrumentException(e.kind(), e.getMessage() + "; asked twice", e);
    }
  }

  private static boolean isLost(InstrumentException e) {
    return e.kind() == InstrumentException.Kind.TIMEOUT || e.getCause() instanceof GarbledReply;
  }

  @Override
  public Identity identity() {
    return board.identity();
  }

  @Override
  public void recognise() throws InstrumentException {
    var unused =
        answer(
            () -> {
              board.recognise();
              return true;
            });
  }

  @Override
  public void set(Map<String, Boolean> wanted) throws InstrumentException {
    var unused =
        answer(
            () -> {
              board.set(wanted);
              return true;
            });
  }

  @Override
  public Set<String> energised() throws InstrumentException {
    return answer(board::energised);
  }

  @Override
  public void close() throws InstrumentException {
    board.close();
  }
}
