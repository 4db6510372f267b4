package kitproof.run;

import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import kitproof.driver.Identity;
import kitproof.driver.RelayBoard;

/** A relay board that does exactly what it is told and tells a witness of each move. */
final class ModelBoard implements RelayBoard {
  private final String name;
  private final Set<String> on;
  private final Witness witness;

  /** Told before a move is made. */
  interface Witness {
    void moves(ModelBoard board, Move move);
  }

  /**
   * Relays that move at one command, in any order.
   *
   * @param lowest those energised at every instant of it
   * @param highest those energised at some instant of it
   */
  record Move(Set<String> lowest, Set<String> highest) {}

  /** At rest. */
  ModelBoard(String name, Witness witness) {
    this(name, Set.of(), witness);
  }

  /** With these relays energised. */
  ModelBoard(String name, Set<String> energised, Witness witness) {
    this.name = name;
    this.on = new TreeSet<>(energised);
    this.witness = witness;
  }

  String name() {
    return name;
  }

  @Override
  public Identity identity() {
    return new Identity("", "model of " + name, "", "");
  }

  @Override
  public void set(Map<String, Boolean> wanted) {
    Set<String> lowest = new TreeSet<>(on);
    Set<String> highest = new TreeSet<>(on);
    wanted.forEach(
        (relay, energised) -> {
          if (energised) {
            highest.add(relay);
          } else {
            lowest.remove(relay);
          }
        });
    if (!lowest.equals(highest)) {
      witness.moves(this, new Move(lowest, highest));
    }
    wanted.forEach(
        (relay, energised) -> {
          if (energised) {
            on.add(relay);
          } else {
            on.remove(relay);
          }
        });
  }

  @Override
  public Set<String> energised() {
    return new TreeSet<>(on);
  }

  @Override
  public void close() {}
}
