package kitproof.run;

import kitproof.driver.InstrumentException;

/**
 * Refuses every selection of a route and every signal from the moment the safe state is commanded
 * from outside the sequence, so that nothing still under way can undo it.
 */
final class Halt {
  private volatile boolean halted;

  void set() {
    halted = true;
  }

  void lift() {
    halted = false;
  }

  /** Called on the instrument's own thread, right before it switches or plays. */
  void check() throws InstrumentException {
    if (halted) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          "the bench has been made safe; nothing more is switched or played");
    }
  }
}
