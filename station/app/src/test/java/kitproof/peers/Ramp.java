package kitproof.peers;

import kitproof.peer.ScpiPeer;

/** A reading at a peer that rises evenly with time. */
final class Ramp implements AutoCloseable {
  private final Thread thread;
  private volatile boolean over;

  /**
   * Begins to rise.
   *
   * @param start the first value, in the function's unit
   * @param perSecond by how much it rises
   */
  Ramp(ScpiPeer peer, String function, double start, double perSecond) {
    long began = System.nanoTime();
    thread =
        new Thread(
            () -> {
              try {
                while (!over) {
                  peer.value(function, start + perSecond * (System.nanoTime() - began) / 1e9);
                  Thread.sleep(10);
                }
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              }
            },
            "ramp");
    thread.setDaemon(true);
    thread.start();
  }

  @Override
  public void close() throws InterruptedException {
    over = true;
    thread.join();
  }
}
