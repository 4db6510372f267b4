package kitproof.run;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Predicate;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.interlock.Interlock;
import kitproof.plan.Bench;
import kitproof.plan.Plan;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * A plan's interlocks against the bench: whether their meters are there, and whether these can read
 * as often, and the relays be switched as soon, as the stated times ask for.
 */
final class InterlocksOnBench {
  /**
   * What the exchanges with a relay board may take before mains off is on the line: five of a
   * selection under way, two for the drive, one refresh of a watchdog and one look at the board.
   * For a Modbus board at 19200 baud behind a USB adapter (common practice, no source).
   */
  private static final Duration EXCHANGES = Duration.ofMillis(200);

  private final Plan plan;
  private final Bench bench;
  private final ReadingTimes times;
  private final List<Problem> problems = new ArrayList<>();

  private InterlocksOnBench(Plan plan, Bench bench, ReadingTimes times) {
    this.plan = plan;
    this.bench = bench;
    this.times = times;
  }

  static List<Problem> check(Plan plan, Bench bench, ReadingTimes times) {
    InterlocksOnBench check = new InterlocksOnBench(plan, bench, times);
    plan.interlocks().forEach(check::meter);
    return check.problems;
  }

  private void meter(Interlock interlock) {
    Bench.Role role = bench.roles().get(interlock.meter());
    if (role == null || role.kind() != InstrumentKind.METER) {
      problems.add(
          Problem.unknownName(
              interlock.location(),
              InstrumentKind.METER + " role",
              interlock.meter(),
              bench.roles().values().stream()
                  .filter(r -> r.kind() == InstrumentKind.METER)
                  .map(Bench.Role::name)
                  .toList()));
      return;
    }
    List<String> functions = ReadingTimes.functions(role);
    if (!functions.isEmpty() && !functions.contains(interlock.function())) {
      problems.add(
          Problem.unknownName(
              interlock.location(),
              interlock.meter() + " function",
              interlock.function(),
              functions));
      return;
    }
    unit(interlock, role);
    feasible(interlock, role);
  }

  /** A band in another unit than the readings would trip at the first of them. */
  private void unit(Interlock interlock, Bench.Role role) {
    Unit unit = times.unit(role, interlock.function()).orElse(null);
    if (unit != null && !interlock.isIn(unit)) {
      problems.add(
          Problem.of(
              interlock.location(), interlock.inAnotherUnit(unit), Quantity.expectation(unit)));
    }
  }

  /**
   * The reading after the last good one begins {@code every} later, may have to wait for a step's
   * reading of the same meter, of whatever function, and for one of each other interlock on it,
   * then takes its own time; then the command has its way to go.
   */
  private void feasible(Interlock interlock, Bench.Role role) {
    Duration apart =
        plan.interlocks().stream()
            .filter(other -> other.meter().equals(interlock.meter())) // itself among them
            .map(other -> times.of(role, other.function()))
            .reduce(
                interlock.every().plus(times.longest(role, interlock.function())), Duration::plus);
    Duration command = commandPath();
    Duration needed = apart.plus(command);
    if (interlock.oldest().compareTo(apart) < 0) {
      Duration old = apart.multipliedBy(10).dividedBy(9).plusMillis(1);
      needed = old.compareTo(needed) > 0 ? old : needed;
    }
    if (interlock.within().compareTo(needed) < 0) {
      problems.add(
          Problem.of(
              interlock.location(),
              "interlock \""
                  + interlock.name()
                  + "\" within "
                  + interlock.within().toMillis()
                  + " ms, whose readings may be "
                  + apart.toMillis()
                  + " ms apart, on a bench whose relays may need "
                  + command.toMillis()
                  + " ms to take the mains away"
                  + ofThem(lostAnswer()),
              "at least " + needed.toMillis() + " ms"));
    }
  }

  private static String ofThem(Duration lost) {
    return lost.isZero()
        ? ""
        : ", " + lost.toMillis() + " ms of them if an answer is lost just then";
  }

  /**
   * Relays being switched break and make first, then the drive is muted; where its board is another
   * than that of the mains, one that does not answer is waited for a while. An answer may be lost
   * in that moment.
   */
  private Duration commandPath() {
    Duration any = settle(route -> true);
    Duration drive =
        settle(r -> r.purpose() == Route.Purpose.DRIVE || r.purpose() == Route.Purpose.MUTE);
    return any.multipliedBy(2)
        .plus(drive)
        .plus(SafeKeeper.beforeMains(bench.roles().values()))
        .plus(lostAnswer())
        .plus(bench.routes().isEmpty() ? Duration.ZERO : EXCHANGES);
  }

  /**
   * How long the board that takes the mains away is waited for if one of its answers is lost, be it
   * that of a question before the safe state, which is not asked again then, or that of the mute.
   */
  private Duration lostAnswer() {
    return bench.roles().values().stream()
        .filter(role -> SafeKeeper.carries(role, Route.Purpose.MAINS_OFF))
        .map(times::answer)
        .max(Duration::compareTo)
        .orElse(Duration.ZERO);
  }

  private Duration settle(Predicate<Route> which) {
    return bench.routes().stream()
        .filter(which)
        .map(Route::settle)
        .max(Duration::compareTo)
        .orElse(Duration.ZERO);
  }
}
