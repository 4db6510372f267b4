package kitproof.interlock;

import java.util.List;
import kitproof.driver.Route;
import kitproof.value.Conditions;

/**
 * What the sequence is doing, as far as it arms interlocks.
 *
 * @param mains the mains as it is; while it is being switched the more dangerous of the two
 * @param step the step's place in the plan, from 0; -1 before the first
 * @param conditions the step's, and while routes are being switched the ones before too
 */
public record Situation(Route.Purpose mains, int step, List<Conditions> conditions) {
  /** Before anything has been done. */
  public static final Situation AT_REST =
      new Situation(Route.Purpose.MAINS_OFF, -1, List.of(Conditions.NONE));

  public Situation {
    conditions = List.copyOf(conditions);
  }

  /** The same with the mains otherwise. */
  public Situation with(Route.Purpose now) {
    return new Situation(now, step, conditions);
  }
}
