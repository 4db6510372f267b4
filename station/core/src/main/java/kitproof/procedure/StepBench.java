package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import kitproof.calibration.Calibration;
import kitproof.driver.Answer;
import kitproof.driver.AudioInterface;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Reading;
import kitproof.driver.Route;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
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

  /**
   * A reading of the meter in this role that nobody can wait for longer than this: one that does
   * not come in time is broken off.
   *
   * @throws InstrumentException TIMEOUT if it did not come
   */
  default Reading read(String role, String function, Duration atMost) throws InstrumentException {
    return meter(role).read(function);
  }

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
   * An attenuator before the interface's inputs.
   *
   * @param name its route
   * @param fullScale rms of a sine at the inputs that just reaches full scale
   */
  record InputRange(String name, Quantity fullScale) {}

  /** The input ranges, the least sensitive, which is the one at rest, first; empty if none. */
  default List<InputRange> inputRanges() {
    return List.of();
  }

  /** Selects an input range; the drive is muted while it changes. */
  default void selectInputRange(InputRange range) throws InstrumentException {
    throw new InstrumentException(
        InstrumentException.Kind.RANGE, "the bench has no input range \"" + range.name() + "\"");
  }

  /** What the bench's calibration says of its own errors; empty if it is not calibrated. */
  default Optional<Calibration> calibration() {
    return Optional.empty();
  }

  /**
   * What the readings of a meter have been corrected by; empty if by nothing. While a bench is
   * being calibrated this is the file before.
   */
  default Optional<Calibration> papers(String meter) {
    return calibration();
  }

  /** What the station itself adds to a capture, if the bench file says it. */
  default Optional<StationResidual> residual() {
    return Optional.empty();
  }

  /** Single lines that the station shows without a unit, if the bench file tells them. */
  default List<StationSpur> spurs() {
    return List.of();
  }

  /**
   * The route of the load that {@link #load} tells, as a calibration names it.
   *
   * @param channel as there
   */
  default String loadRoute(String channel) {
    return "";
  }

  /** The most that the load of a route changes per kelvin, percent, if the bench file says it. */
  default Optional<Quantity> loadPerKelvin(String route) {
    return Optional.empty();
  }

  /**
   * Does something with other routes selected, each in the place of what is selected of its group,
   * and goes back. The drive is muted while the relays change, and connected again only with the
   * load read back; {@link #load} is then the load of the moment.
   *
   * @param routes as the procedure's outline names them under {@code exchanges}; "{tap}" stands for
   *     the value of the step's condition tap, "{channel}" for each channel that the step means
   */
  <T> T rerouted(List<String> routes, Work<T> work)
      throws InstrumentException, InterruptedException;

  /** Something to do on the bench. */
  interface Work<T> {
    T run() throws InstrumentException, InterruptedException;
  }

  /**
   * What was read while signals played.
   *
   * @param result of what was done
   * @param readings those that began when the signal had been on for long enough and were over
   *     before it ended, in order
   * @param longestReading the most that one of all readings took
   * @param beyondSignal the most that playing took beyond a signal itself
   */
  record Beside<T>(
      T result, List<Reading> readings, Duration longestReading, Duration beyondSignal) {
    public Beside {
      readings = List.copyOf(readings);
    }
  }

  /**
   * Does something, and reads a meter while the signals in it play: beside the step in real time,
   * in turns of a simulated bench's clock. A meter that fails breaks the signal off.
   *
   * @param meter the meter's role
   * @param function its function
   * @param from how long a signal has been on before a reading counts
   * @param every from one reading to the next, at least
   */
  <T> Beside<T> readWhilePlaying(
      String meter, String function, Duration from, Duration every, Work<T> work)
      throws InstrumentException, InterruptedException;

  /** What the run has measured in earlier steps, in order. */
  List<Measurement> earlier();

  /**
   * Another unit, whose results the step compares with.
   *
   * @param name as the plan names it
   */
  default Optional<ReferenceUnit> otherUnit(String name) {
    return Optional.empty();
  }

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
   * Shows those who watch what the HV rail holds while it falls, with the mains off. What is done
   * again from kept captures is watched by nobody.
   */
  default void falling(Quantity rail) {}

  /**
   * Says that the unit has been proved to be discharged, with the mains off.
   *
   * @param evidence what was read
   */
  void discharged(String evidence) throws InstrumentException;

  /**
   * Says that the rail reads as if the unit were discharged, but that this is not to be believed:
   * whether it may be opened is unknown.
   *
   * @param why for people
   */
  void notShownDischarged(String why) throws InstrumentException;

  /** Bench time since the step began. */
  Duration elapsed();

  /** Says that so much of the signal just played was there for the unit to settle. */
  default void settled(Duration part) {}

  /** Shows what was just heard to whoever watches. */
  default void heard(Heard heard) {}

  /** Lets bench time pass. */
  void pause(Duration duration) throws InterruptedException;

  /** Lets bench time pass while a person is waited for. */
  default void waitForPerson(Duration duration) throws InterruptedException {
    pause(duration);
  }

  /** What anybody at the unit has to beware of now, in words for the person. */
  default String danger() {
    return "";
  }

  /** The person in this role. */
  Operator operator(String role) throws InstrumentException;

  /** Puts on record what the person answered. */
  void answered(Question question, Answer answer);

  /** Asks the run to stop, as the operator does; the step ends as aborted when it returns. */
  void stop(String reason);

  /** Tells the operator. */
  void notice(String text) throws InstrumentException;
}
