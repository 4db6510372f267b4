package kitproof.peers;

import kitproof.peer.ScpiPeer;

/** A reading at a peer that rises evenly with time. */
final class Ramp implements AutoCloseable {
  private final Repeated rising;

  /**
   * Begins to rise.
   *
   * @param start the first value, in the function's unit
   * @param perSecond by how much it rises
   */
  Ramp(ScpiPeer peer, String function, double start, double perSecond) {
    long began = System.nanoTime();
    rising =
        new Repeated(
            "ramp",
            () -> peer.value(function, start + perSecond * (System.nanoTime() - began) / 1e9));
  }

  @Override
  public void close() throws InterruptedException {
    rising.close();
  }
}
