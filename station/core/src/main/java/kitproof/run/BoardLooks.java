package kitproof.run;

import java.time.Duration;
import java.util.List;
import java.util.Set;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.interlock.Interlock;
import kitproof.plan.Bench;
import kitproof.value.Conditions;

/**
 * The interlocks that every bench has, whatever its plan says: as long as mains is on, each relay
 * board is looked at every second, whether it answers and its relays are as they were left. One
 * that is lost could not take the mains away any more, and the operator has to know.
 *
 * <p>A look is one question on the board's line, and waits like a command behind one that is under
 * way. So it is noticed within {@link #WITHIN} and four times what the board's relays take to
 * settle.
 */
public final class BoardLooks {
  private static final Duration EVERY = Duration.ofSeconds(1);
  private static final Duration ANSWERS_WITHIN = Duration.ofSeconds(2);

  /** The stated time; what relays take to settle comes on top. */
  static final Duration WITHIN = Duration.ofSeconds(4);

  private BoardLooks() {}

  /** One for each board. */
  public static List<Interlock> of(Bench bench) {
    return bench.roles().values().stream()
        .filter(role -> role.kind() == InstrumentKind.SWITCHER)
        .map(BoardLooks::of)
        .toList();
  }

  private static Interlock of(Bench.Role role) {
    return new Interlock(
        role.source().location(),
        "answers of " + role.name(),
        role.name(),
        "read-back",
        null,
        null,
        WITHIN.plus(settling(role).multipliedBy(4)),
        EVERY,
        Duration.ZERO,
        Set.of(Route.Purpose.MAINS_LIMITED, Route.Purpose.MAINS_DIRECT),
        Conditions.NONE,
        0,
        Integer.MAX_VALUE,
        null);
  }

  /** How long one look may take; a selection that it waits for breaks, makes, and both settle. */
  static Duration patience(Bench.Role role) {
    return ANSWERS_WITHIN.plus(settling(role).multipliedBy(3));
  }

  private static Duration settling(Bench.Role role) {
    return role.routes().stream().map(Route::settle).max(Duration::compareTo).orElse(Duration.ZERO);
  }
}
