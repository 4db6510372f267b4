package kitproof.procedure;

import java.time.Duration;
import kitproof.driver.Answer;
import kitproof.driver.AudioInterface;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Route;
import kitproof.value.Conditions;
import kitproof.value.Quantity;

/**
 * The bench as one step sees it: instruments by role, with the step's routes selected.
 *
 * <p>Every call is a moment at which the run can be stopped, and every instrument behind it has a
 * deadline.
 */
public interface StepBench {
  /** What the step's results hold under. */
  Conditions conditions();

  /** The meter in this role. */
  Meter meter(String role) throws InstrumentException;

  /** The audio interface in this role. */
  AudioInterface audio(String role) throws InstrumentException;

  /**
   * The load on a channel's output, as measured; read back as connected.
   *
   * @param channel the channel's name; empty for the only one
   * @throws InstrumentException OTHER if there is none: never drive an unloaded output
   */
  Quantity load(String channel) throws InstrumentException;

  /**
   * Switches the mains by the sequencer's rules.
   *
   * @param purpose one of the MAINS purposes
   */
  void mains(Route.Purpose purpose) throws InstrumentException, InterruptedException;

  /**
   * Shows a sample of a curve to its judge while the curve is being measured. One that lies outside
   * its mask makes the bench safe before this returns, and no further step is done.
   *
   * @param result the curve's name
   * @param at the sample's place along the curve
   * @return whether to go on; if not, the step returns what it has so far
   */
  boolean sample(String result, Quantity at, Quantity value) throws InstrumentException;

  /**
   * Breaks the measurement off: the bench is made safe before this returns, and no further step is
   * done.
   */
  void breakOff(String why) throws InstrumentException;

  /**
   * Says that the unit has been proved to be discharged, with the mains off.
   *
   * @param evidence what was read
   */
  void discharged(String evidence) throws InstrumentException;

  /** Bench time since the step began. */
  Duration elapsed();

  /** Lets bench time pass. */
  void pause(Duration duration) throws InterruptedException;

  /** The person in this role. */
  Operator operator(String role) throws InstrumentException;

  /** Puts on record what the person answered. */
  void answered(Question question, Answer answer);

  /** Asks the run to stop, as the operator does; the step ends as aborted when it returns. */
  void stop(String reason);

  /** Tells the operator. */
  void notice(String text) throws InstrumentException;
}
