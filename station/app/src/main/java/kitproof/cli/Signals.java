package kitproof.cli;

import java.util.List;
import sun.misc.Signal;

/** Turns the signals that would end the program into calls. */
final class Signals {
  private Signals() {}

  /**
   * From now on each SIGINT, SIGTERM and SIGHUP makes this call, on a thread of its own.
   *
   * <p>The serial library has SIGHUP ignored once it is loaded, so a terminal that is closed is
   * also noticed by the console.
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
