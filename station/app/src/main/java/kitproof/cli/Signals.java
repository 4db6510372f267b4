package kitproof.cli;

import java.util.List;
import sun.misc.Signal;

/** Turns the signals that would end the program into calls. */
final class Signals {
  private Signals() {}

  /**
   * From now on each SIGINT, SIGTERM and SIGHUP (the terminal is gone) makes this call, on a thread
   * of its own.
   */
  static void handle(Runnable call) {
    for (String name : List.of("INT", "TERM", "HUP")) {
      try {
        Signal.handle(new Signal(name), signal -> start(call));
      } catch (IllegalArgumentException e) {
        continue; // Windows knows no HUP
      }
    }
  }

  private static void start(Runnable call) {
    Thread thread = new Thread(call, "kitproof-signal");
    thread.setDaemon(true);
    thread.start();
  }
}
