package kitproof.driver;

import java.util.Optional;

/**
 * The person at the bench, or what stands in for one.
 *
 * <p>No call waits for the person: a question is put, and the answer is looked for now and then, so
 * that a run can be stopped at any moment in between. At most one question stands. {@link
 * #makeSafe()} takes it back.
 */
public interface Operator extends Instrument {
  /** Puts a question, in the place of one that stood. */
  void ask(Question question) throws InstrumentException;

  /** The answer to the question that stands; empty while there is none. */
  Optional<Answer> answer() throws InstrumentException;

  /** Shows the latest value while an adjustment is asked for. */
  void show(LiveValue value) throws InstrumentException;
}
