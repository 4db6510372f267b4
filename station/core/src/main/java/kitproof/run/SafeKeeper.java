package kitproof.run;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.event.Event;
import kitproof.interlock.Interlocks;

/**
 * Brings the bench to its safe state: drive muted first, then mains off; the loads stay connected.
 *
 * <p>Goes on to the next instrument whatever the one before did, and reads back what it can. May be
 * called from any thread, by several at once.
 */
final class SafeKeeper {
  private final OpenBench bench;
  private final Routing routing;
  private final Interlocks interlocks;

  SafeKeeper(OpenBench bench, Routing routing, Interlocks interlocks) {
    this.bench = bench;
    this.interlocks = interlocks;
    this.routing = routing;
  }

  /** Commands it and says what came of it. */
  Event.SafeState command(String cause) {
    List<String> troubles = new ArrayList<>();
    // What they would do is done here; a rail that falls is no reason to trip.
    interlocks.enter(situation -> situation.with(Route.Purpose.MAINS_OFF));
    // The relays first: an interface that is playing must not hold that up.
    bench.all(InstrumentKind.SWITCHER).stream()
        .sorted(Comparator.comparing(i -> carriesDrive(i) ? 0 : 1))
        .forEach(switcher -> makeSafe(switcher, troubles));
    for (OpenInstrument audio : bench.all(InstrumentKind.AUDIO_INTERFACE)) {
      makeSafe(audio, troubles);
    }
    try {
      for (String route : routing.unsafe()) {
        troubles.add("\"" + route + "\" is not what the relays are read back as");
      }
    } catch (InstrumentException e) {
      troubles.add("the relays could not be read back: " + e.getMessage());
    }
    return new Event.SafeState(cause, troubles.isEmpty(), String.join("; ", troubles));
  }

  /** Whether the run itself has taken the mains off, or never applied it. */
  boolean mainsIsOff() {
    return routing.mainsIsOff();
  }

  private static void makeSafe(OpenInstrument instrument, List<String> troubles) {
    try {
      instrument.makeSafe();
    } catch (InstrumentException e) {
      troubles.add(e.getMessage());
    }
  }

  private static boolean carriesDrive(OpenInstrument switcher) {
    return switcher.role().routes().stream().anyMatch(r -> r.purpose() == Route.Purpose.DRIVE);
  }
}
