package kitproof.cli;

import java.util.List;
import sun.misc.Signal;

/** Turns the interrupt and terminate signals into calls, instead of the end of the program. */
final class Signals {
  private Signals() {}

  /** From now on each SIGINT and SIGTERM makes this call, on a thread of its own. */
  static void handle(Runnable call) {
    for (String name : List.of("INT", "TERM")) {
      Signal.handle(
          new Signal(name),
          signal -> {
            Thread thread = new Thread(call, "kitproof-signal");
            thread.setDaemon(true);
            thread.start();
          });
    }
  }
}
