package kitproof.run;

import java.time.Instant;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.RouteSwitcher;
import kitproof.driver.SimulatedClock;
import kitproof.plan.Bench;

/**
 * Every way on which the boards of a bench may come to the safe state, looked at for a hazard.
 *
 * <p>Each board is given its commands in an order of its own (drive, mains, the rest: {@link
 * RouteSwitcher#openAll}), and the relays of one command move in any order. Between boards there is
 * one rule only ({@link SafeKeeper}): a board that carries loads and no drive moves them when every
 * board that carries drive is done. The head start that those have before the mains is taken away
 * elsewhere orders nothing: it is a time, and may run out. So any command of a board may come
 * before, beside or after any of another.
 *
 * <p>That is covered without walking every order. A phase of a board is one of its commands under
 * way, with every arrangement that it passes. As boards do not wait for each other, every phase of
 * one meets every phase of each other, save where the rule forbids it, and nothing else matters of
 * the order. Whether a phase drives is said by the relays of one board, and so is whether an output
 * may be without its load, or mains around the limiter, as a group lies on one board ({@code
 * RouteRules}). A hazard thus takes two boards at most, one that drives and one whose load is off,
 * however many there are: looking at each pair of phases that may meet is looking at every order.
 * The start of a program opens the boards one after another, which is one of these ways.
 *
 * <p>Where a board that carries drive does not come back, its own loads stay, and those of others
 * move only when the audio interface has been silenced: then a drive that is still connected
 * carries nothing. That a board does what it is told is taken for granted here.
 */
final class WaysToRest {
  private final Wires wires;
  private final List<Board> boards = new ArrayList<>();

  /**
   * A board.
   *
   * @param commands the relays that each of its commands lets go of, in order
   * @param mains those of the command that takes the mains away before the others
   * @param waits whether the others come only after all that carry drive are done
   */
  private record Board(String role, List<Set<String>> commands, Set<String> mains, boolean waits) {}

  /**
   * A command under way.
   *
   * @param afterDrive whether all boards that carry drive are done before it
   */
  private record Phase(Wires.Relays lowest, Wires.Relays highest, boolean afterDrive) {}

  WaysToRest(Wires wires) {
    this.wires = wires;
    for (Bench.Role role : wires.switchersDriveFirst()) {
      boolean waits =
          SafeKeeper.carries(role, Route.Purpose.LOAD)
              && !SafeKeeper.carries(role, Route.Purpose.DRIVE);
      Set<String> mains =
          waits && SafeKeeper.carries(role, Route.Purpose.MAINS_OFF) ? mains(role) : Set.of();
      boards.add(new Board(role.name(), commands(role), mains, waits));
    }
  }

  /** As the station's own switching gives them to a board on which everything is energised. */
  private static List<Set<String>> commands(Bench.Role role) {
    Set<String> all = new TreeSet<>();
    role.routes().forEach(route -> all.addAll(route.relays()));
    List<Set<String>> commands = new ArrayList<>();
    ModelBoard board =
        new ModelBoard(
            role.name(),
            all,
            (moved, move) -> commands.add(without(move.highest(), move.lowest())));
    try {
      RouteSwitcher.open(board, role.routes(), new SimulatedClock(Instant.EPOCH));
    } catch (InstrumentException e) {
      throw new IllegalStateException("a board that only notes does not fail", e);
    }
    return commands;
  }

  private static Set<String> mains(Bench.Role role) {
    Set<String> relays = new TreeSet<>();
    for (Route route : role.routes()) {
      switch (route.purpose()) {
        case MAINS_OFF, MAINS_LIMITED, MAINS_DIRECT -> relays.addAll(route.relays());
        case MUTE, DRIVE, LOAD, COLD, RANGE, OTHER -> {}
      }
    }
    return relays;
  }

  private static Set<String> without(Set<String> some, Set<String> others) {
    Set<String> left = new TreeSet<>(some);
    left.removeAll(others);
    return left;
  }

  /** How many commands there are from any arrangement. */
  int commands() {
    return boards.stream().mapToInt(board -> board.commands.size()).sum();
  }

  /**
   * What could do harm on some way to the safe state; or empty.
   *
   * @param lowest the relays energised at every instant of the command that is under way
   * @param highest those energised at some instant of it
   * @param risen whether mains may be around the limiter
   */
  String hazard(Wires.Relays lowest, Wires.Relays highest, boolean risen) {
    Map<Board, List<Phase>> phases = new LinkedHashMap<>();
    for (Board board : boards) {
      phases.put(board, phases(board, lowest.of(board.role), highest.of(board.role)));
    }
    for (List<Phase> ofBoard : phases.values()) {
      for (Phase phase : ofBoard) {
        String around = wires.aroundTheLimiterBetween(phase.lowest, phase.highest);
        if (!risen && !around.isEmpty()) {
          return around;
        }
      }
    }
    for (Board board : boards) {
      for (Phase driving : phases.getOrDefault(board, List.of())) {
        String unloaded = wires.drives(driving.highest) ? unloaded(board, driving, phases) : "";
        if (!unloaded.isEmpty()) {
          return unloaded;
        }
      }
    }
    return "";
  }

  /** In every phase of another board that this one may meet, and in itself. */
  private String unloaded(Board board, Phase driving, Map<Board, List<Phase>> phases) {
    if (wires.isWithoutLoads()) {
      return Wires.NO_LOADS;
    }
    for (Board other : boards) {
      List<Phase> met =
          other.equals(board) ? List.of(driving) : phases.getOrDefault(other, List.of());
      for (Phase phase : met) {
        String unloaded =
            phase.afterDrive ? "" : wires.unloaded(other.role, phase.lowest, phase.highest);
        if (!unloaded.isEmpty()) {
          return unloaded;
        }
      }
    }
    return "";
  }

  /** What is under way at first, then each command; what comes after is at rest. */
  private static List<Phase> phases(Board board, Set<String> lowest, Set<String> highest) {
    List<Phase> phases = new ArrayList<>();
    phases.add(phase(board, lowest, highest, false));
    Set<String> low = new TreeSet<>(lowest);
    Set<String> high = new TreeSet<>(highest);
    if (!board.mains.isEmpty()) {
      low.removeAll(board.mains);
      phases.add(phase(board, low, high, false));
    }
    for (Set<String> command : board.commands) {
      low.removeAll(command);
      phases.add(phase(board, low, high, board.waits));
      high.removeAll(command);
    }
    return phases;
  }

  private static Phase phase(Board board, Set<String> low, Set<String> high, boolean afterDrive) {
    return new Phase(
        Wires.Relays.NONE.with(board.role, Set.copyOf(low)),
        Wires.Relays.NONE.with(board.role, Set.copyOf(high)),
        afterDrive);
  }
}
