package kitproof.run;

import java.util.concurrent.Callable;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.plan.Bench;
import org.jspecify.annotations.Nullable;

/** Sees to it that an instrument that opens when nobody waits for it any more is closed. */
final class Opening {
  private final Bench.Role role;
  private @Nullable Instrument opened;
  private boolean abandoned;

  Opening(Bench.Role role) {
    this.role = role;
  }

  /** On the instrument's own thread: it has opened, and this is what it says of itself. */
  OpenInstrument.Declared arrived(Instrument instrument) throws InstrumentException {
    if (!keep(instrument)) {
      instrument.close();
    } else if (!role.kind().type().isInstance(instrument)) {
      throw new InstrumentException(
          InstrumentException.Kind.OTHER,
          role.driver() + " opened something that is no " + role.kind());
    }
    return OpenInstrument.Declared.of(instrument);
  }

  private synchronized boolean keep(Instrument instrument) {
    opened = instrument;
    return !abandoned;
  }

  /** Nobody waits any more. Returns what has opened already, which is to be closed. */
  synchronized @Nullable Instrument abandon() {
    abandoned = true;
    return opened;
  }

  static Callable<Boolean> closing(Instrument instrument) {
    return () -> {
      instrument.close();
      return true;
    };
  }
}
