package kitproof.driver.kit;

import kitproof.driver.InstrumentException;

final class Fakes {
  private Fakes() {}

  static void requireOpen(boolean closed, String role) throws InstrumentException {
    if (closed) {
      throw new InstrumentException(InstrumentException.Kind.UNREACHABLE, role + " is closed");
    }
  }
}
