package kitproof.procedure;

import java.util.List;
import kitproof.driver.InstrumentException;
import kitproof.value.Measurement;

/**
 * How one kind of step is done.
 *
 * <p>Turns a step's settings into driver calls and returns measurements. It knows no limits,
 * records or screens; it keeps nothing between steps. To add one, write the class and its settings
 * record and name it in {@link Procedures}.
 *
 * @param <S> the record of its settings, which are the step's own keys in a plan
 */
public interface Procedure<S extends Record> {
  /** As plans name it, for example "supply-rise". */
  String id();

  /** The record of its settings. */
  Class<S> settings();

  /** What it needs and what it will yield with these settings; touches no hardware. */
  Outline outline(S settings);

  /**
   * Measures.
   *
   * @return every result that {@link #outline} promised, as an invalid one where it could not be
   *     measured, each under the step's conditions and possibly more
   * @throws InstrumentException if the station failed; the run then ends as error
   * @throws InterruptedException if the run is being stopped
   */
  List<Measurement> measure(S settings, StepBench bench)
      throws InstrumentException, InterruptedException;
}
