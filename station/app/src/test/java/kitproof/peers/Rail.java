package kitproof.peers;

import java.util.Set;
import java.util.function.DoubleConsumer;
import java.util.function.Supplier;

/**
 * The unit's HV rail on the peers' side of the wires: follows the relays as they really are and
 * moves what the meter reads, an exponential up and down.
 */
final class Rail implements AutoCloseable {
  static final int MAINS = 0;
  static final int LIMITER_BYPASS = 1;
  static final int DRIVE_LEFT = 2;
  static final int DRIVE_RIGHT = 3;
  static final int LEFT_4_OHM = 4;

  static final double LIMITED_VOLTS = 280;
  static final double FULL_VOLTS = 330;
  static final double TIME_CONSTANT_SECONDS = 0.5;

  private final Supplier<Set<Integer>> relays;
  private final int first;
  private final DoubleConsumer reads;
  private final Repeated following;
  private long before = System.nanoTime();
  private double volts;
  private volatile boolean shorted;

  /**
   * Begins to follow.
   *
   * @param relays those energised, by their number at the peer
   * @param first the number that stands for {@link #MAINS}; the others follow it
   * @param reads takes the volts that the meter is to read
   */
  Rail(Supplier<Set<Integer>> relays, int first, DoubleConsumer reads) {
    this.relays = relays;
    this.first = first;
    this.reads = reads;
    this.following = new Repeated("rail", this::follow);
  }

  private void follow() {
    Set<Integer> on = relays.get();
    long now = System.nanoTime();
    double kept = Math.exp(-(now - before) / 1e9 / TIME_CONSTANT_SECONDS);
    before = now;
    volts = target(on) + (volts - target(on)) * kept;
    reads.accept(volts);
  }

  /** From now on the rail is shorted, and the mains cannot lift it. */
  void shorted() {
    shorted = true;
  }

  private double target(Set<Integer> on) {
    if (shorted || !on.contains(first + MAINS)) {
      return 0;
    }
    return on.contains(first + LIMITER_BYPASS) ? FULL_VOLTS : LIMITED_VOLTS;
  }

  /** Stops following; the peers may be closed after it. */
  @Override
  public void close() throws InterruptedException {
    following.close();
  }
}
