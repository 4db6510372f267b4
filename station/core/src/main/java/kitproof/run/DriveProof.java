package kitproof.run;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.SimulatedClock;
import kitproof.driver.Switcher;
import kitproof.interlock.Interlocks;
import kitproof.plan.Bench;
import kitproof.plan.OnFail;
import kitproof.plan.Plan;
import kitproof.plan.PlanStep;
import kitproof.procedure.Outline;
import kitproof.value.Conditions;
import kitproof.value.Problem;
import org.jspecify.annotations.Nullable;

/**
 * Proves of a plan on a bench that at no instant drive is connected while an output has no load,
 * and that mains never gets around the limiter before a rise has been judged good; or names the
 * step where it could.
 *
 * <p>It walks the plan with the station's own routing and switching, on boards that only note what
 * they are told. The relays of one command may move in any order, so every arrangement in between
 * counts. From every arrangement reached, also one in between, every way to the safe state is
 * proved as well, whatever board is before whatever other: a run can be broken off at any instant
 * ({@link WaysToRest}). What procedures select by themselves is walked too: the routes they
 * exchange for a while, and, where they listen, every input range after every other. The shut-down
 * is walked after the last step and once more from rest, where a run that was broken off comes to
 * it; nothing drives in it, so that it may go on beside a safe state that is commanded. Commands of
 * the sequence to several boards come one after another, each when the one before is done, so that
 * there is one order of them only. What it takes for granted: relays do what they are told, and the
 * bench file tells how they are wired.
 */
public final class DriveProof {
  private final Plan plan;
  private final Bench bench;
  private final Wires wires;
  private final WaysToRest ways;
  private final BenchClock clock = new SimulatedClock(Instant.EPOCH);
  private final Map<String, ModelBoard> boards = new LinkedHashMap<>();
  private final List<Problem> problems = new ArrayList<>();
  private boolean risen;
  private @Nullable String left;
  private String hazard = "";
  private int moves;

  private DriveProof(Plan plan, Bench bench) {
    this.plan = plan;
    this.bench = bench;
    this.wires = new Wires(bench);
    this.ways = new WaysToRest(wires);
  }

  /**
   * What came of it.
   *
   * @param problems the first step that could do harm or would be refused; empty if proved
   * @param steps how many steps were walked
   * @param moves how many relay movements were looked at, those of breaking off included
   */
  public record Result(List<Problem> problems, int steps, int moves) {
    public Result {
      problems = List.copyOf(problems);
    }

    public boolean proved() {
      return problems.isEmpty();
    }
  }

  /** Walks the plan; touches no hardware. */
  public static Result of(Plan plan, Bench bench) {
    DriveProof proof = new DriveProof(plan, bench);
    List<Route> ranges =
        bench.routes().stream().filter(r -> r.purpose() == Route.Purpose.RANGE).toList();
    int steps = ranges.isEmpty() ? proof.walk(null) : 0;
    for (Route range : ranges) {
      steps = proof.problems.isEmpty() ? proof.walk(range.name()) : steps;
    }
    return new Result(proof.problems, steps, proof.moves);
  }

  /**
   * Walks the whole plan from rest.
   *
   * @param left the input range that steps leave behind; null if the bench has none
   */
  private int walk(@Nullable String left) {
    boards.clear();
    Map<String, Switcher> switchers = new HashMap<>();
    for (Bench.Role role : bench.roles().values()) {
      if (role.kind() == InstrumentKind.SWITCHER) {
        ModelBoard board = new ModelBoard(role.name(), this::moved);
        boards.put(role.name(), board);
        try {
          switchers.put(role.name(), RouteSwitcher.open(board, role.routes(), clock));
        } catch (InstrumentException e) {
          throw new IllegalStateException("a board that only notes does not fail", e);
        }
      }
    }
    Routing routing = new Routing(bench, switchers, new Interlocks(List.of(), clock, trip -> {}));
    this.left = left;
    risen = false;
    int steps = walk(plan.steps(), routing);
    steps += walk(plan.shutDown(), routing);
    routing.forget();
    rest(switchers);
    risen = false;
    var unused = walk(plan.shutDown(), routing);
    return steps;
  }

  /** Up to the first problem. Returns how many steps. */
  private int walk(List<PlanStep> some, Routing routing) {
    int steps = 0;
    for (PlanStep step : some) {
      if (!problems.isEmpty()) {
        break;
      }
      try {
        step(step, routing);
      } catch (InstrumentException e) {
        tell(step, "a step that would be refused: " + e.getMessage());
      }
      steps++;
      if (!hazard.isEmpty() && problems.isEmpty()) {
        tell(step, hazard);
      }
    }
    return steps;
  }

  private void tell(PlanStep step, String what) {
    problems.add(
        Problem.of(
            step.location(),
            what + ", in step " + step.title(),
            "routes and an order of steps with a load on every driven output, and mains around the"
                + " limiter only after a judged rise"));
  }

  /** What a step does to the relays, in the sequencer's order. */
  private void step(PlanStep step, Routing routing) throws InstrumentException {
    Outline outline = step.outline();
    routing.prepare(step);
    if (step.mains() != null) {
      routing.mains(step.mains().purpose(), step.conditions());
    }
    if (outline.drives()) {
      routing.connectDrive(step.conditions());
    }
    switch (outline.mains()) {
      case FIRST_POWER -> routing.mains(Route.Purpose.MAINS_LIMITED, step.conditions());
      case OFF -> routing.mains(Route.Purpose.MAINS_OFF, step.conditions());
      case NONE, COLD -> {}
    }
    played(step);
    ranges(step, routing);
    if (!outline.exchanges().isEmpty()) {
      Conditions conditions = step.conditions();
      List<String> second = routing.named(outline.exchanges(), conditions);
      List<String> first = routing.exchange(second, conditions);
      played(step);
      ranges(step, routing);
      var unused = routing.exchange(first, conditions);
      played(step);
      ranges(step, routing);
    }
    if (outline.drives()) {
      routing.mute();
    }
    if (outline.mains() == Outline.MainsUse.FIRST_POWER && step.onFail() == OnFail.STOP) {
      routing.riseJudgedGood();
      risen = true;
    }
    boolean off = step.mains() != null && step.mains().purpose() == Route.Purpose.MAINS_OFF;
    if (off || outline.mains() == Outline.MainsUse.OFF) {
      risen = false;
    }
  }

  /** A signal of this step may sound now. */
  private void played(PlanStep step) {
    if (step.outline().drives()) {
      note(wires.unloadedWhileDriven(state(), step));
    }
  }

  /** Every input range from the one that this walk leaves steps in, and back into that. */
  private void ranges(PlanStep step, Routing routing) throws InstrumentException {
    if (left == null || !step.outline().listens()) {
      return;
    }
    for (Route range : routing.inputRanges()) {
      routing.inputRange(range.name(), step.conditions());
      played(step);
      routing.inputRange(left, step.conditions());
      played(step);
    }
  }

  private Wires.Relays state() {
    Wires.Relays all = Wires.Relays.NONE;
    for (ModelBoard board : boards.values()) {
      all = all.with(board.name(), board.energised());
    }
    return all;
  }

  /**
   * Called before each move: everything between lowest and highest is passed on the way, and the
   * run may be broken off at each instant of it.
   */
  private void moved(ModelBoard board, ModelBoard.Move move) {
    moves += 1 + ways.commands();
    Wires.Relays others = state().without(board.name());
    Wires.Relays lowest = others.with(board.name(), move.lowest());
    Wires.Relays highest = others.with(board.name(), move.highest());
    note(wires.unloadedBetween(lowest, highest));
    if (!risen) {
      note(wires.aroundTheLimiterBetween(lowest, highest));
    }
    String onTheWay = ways.hazard(lowest, highest, risen);
    note(onTheWay.isEmpty() ? "" : onTheWay + ", on the way to the safe state");
  }

  private void rest(Map<String, Switcher> switchers) {
    try {
      for (Bench.Role role : wires.switchersDriveFirst()) {
        Switcher switcher = switchers.get(role.name());
        if (switcher != null) {
          switcher.openAll();
        }
      }
    } catch (InstrumentException e) {
      throw new IllegalStateException("a board that only notes does not fail", e);
    }
  }

  private void note(String found) {
    if (hazard.isEmpty()) {
      hazard = found;
    }
  }
}
