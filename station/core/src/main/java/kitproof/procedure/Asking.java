package kitproof.procedure;

import java.time.Duration;
import java.util.Optional;
import kitproof.driver.Answer;
import kitproof.driver.InstrumentException;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import org.jspecify.annotations.Nullable;

/**
 * Waits for a person in small pieces of bench time, each a moment at which a run can be stopped.
 */
final class Asking {
  private static final Duration LOOK = Duration.ofMillis(100);

  private Asking() {}

  /**
   * Asks and waits; the question is taken back whatever happens.
   *
   * @param patience for how long, or zero for as long as it takes
   * @return empty if nobody answered in time
   */
  static Optional<Answer> ask(
      StepBench bench, Operator operator, Question question, Duration patience)
      throws InstrumentException, InterruptedException {
    Duration start = bench.elapsed();
    return during(
        operator,
        question,
        () -> {
          while (true) {
            Optional<Answer> answer = operator.answer();
            if (answer.isPresent()) {
              bench.answered(question, answer.get());
              return answer;
            }
            if (!patience.isZero() && bench.elapsed().minus(start).compareTo(patience) > 0) {
              return Optional.empty();
            }
            bench.waitForPerson(LOOK);
          }
        });
  }

  /**
   * Does something while a question stands, which is taken back whatever happens. What goes wrong
   * while it stands is told, not what goes wrong after that in taking it back.
   */
  static <T> T during(Operator operator, Question question, StepBench.Work<T> work)
      throws InstrumentException, InterruptedException {
    operator.ask(question);
    T result;
    try {
      result = work.run();
    } catch (InstrumentException | InterruptedException | RuntimeException | Error e) {
      try {
        operator.makeSafe();
      } catch (InstrumentException second) {
        e.addSuppressed(second);
      }
      throw e;
    }
    operator.makeSafe();
    return result;
  }

  /** What the plan says to beware of; where it says nothing, what the station knows of the unit. */
  static String caution(@Nullable String planned, StepBench bench) {
    return planned == null ? bench.danger() : planned;
  }

  /** "declined" or "nobody answered", for an invalid result. */
  static String why(Optional<Answer> answer) {
    return answer
        .map(a -> "the operator " + (a instanceof Answer.Done ? "gave no value" : a.toString()))
        .orElse("nobody answered in time");
  }
}
