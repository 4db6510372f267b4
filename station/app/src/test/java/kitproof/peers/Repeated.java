package kitproof.peers;

/** Something that is done every ten milliseconds until it is closed, on a thread of its own. */
final class Repeated implements AutoCloseable {
  private final Thread thread;
  private volatile boolean over;

  Repeated(String name, Runnable work) {
    thread =
        new Thread(
            () -> {
              try {
                while (!over) {
                  work.run();
                  Thread.sleep(10);
                }
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              }
            },
            name);
    thread.setDaemon(true);
    thread.start();
  }

  /** It is not done any more; the peers may be closed after it. */
  @Override
  public void close() throws InterruptedException {
    over = true;
    thread.join();
  }
}
