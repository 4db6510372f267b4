package kitproof.driver.simulated;

import java.util.EnumSet;
import java.util.LinkedHashSet;
import java.util.Map;
import java.util.Set;
import kitproof.driver.Handling;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.RelayBoard;
import kitproof.driver.simulated.unit.Kit;

/** Relays whose contacts act on the simulated unit, from the moment they are set. */
final class SimulatedRelays implements RelayBoard {
  private final Bench bench;
  private final SwitcherSettings settings;
  private final double left;
  private final double right;
  private boolean closed;
  private final Set<String> energised = new LinkedHashSet<>();

  /** Puts the unit with this serial number on the bench. */
  SimulatedRelays(Bench bench, SwitcherSettings settings, String serial, Handling handling)
      throws InstrumentException {
    this.bench = bench;
    this.settings = settings;
    this.left = settings.contacts().of(serial, handling, "left");
    this.right = settings.contacts().of(serial, handling, "right");
    bench.put(
        Kit.build(settings.seed(), serial, settings.faults().get(serial)),
        settings.trimmers(),
        settings.loads().connections(EnumSet.noneOf(Wiring.class), left, right));
    bench.contacts(left, right);
    bench.room(settings.room());
    bench.resistances(settings.loads().resistances(EnumSet.noneOf(Wiring.class)));
  }

  @Override
  public Identity identity() {
    return new Identity("Kitproof", "simulated relays", settings.bench(), "");
  }

  @Override
  public void set(Map<String, Boolean> wanted) throws InstrumentException {
    for (String relay : wanted.keySet()) {
      if (!settings.relays().containsKey(relay)) {
        throw new InstrumentException(
            InstrumentException.Kind.RANGE, "the simulated bench has no relay " + relay);
      }
    }
    wanted.forEach(
        (relay, on) -> {
          if (on) {
            energised.add(relay);
          } else {
            energised.remove(relay);
          }
        });
    Set<Wiring> active = EnumSet.noneOf(Wiring.class);
    settings
        .relays()
        .forEach(
            (relay, wiring) -> {
              if (energised.contains(relay)) {
                active.add(wiring);
              }
            });
    bench.connect(settings.loads().connections(active, left, right));
    bench.resistances(settings.loads().resistances(active));
    bench.loopback(active.contains(Wiring.LOOPBACK));
    bench.inputGain(active.contains(Wiring.SENSITIVE_INPUTS) ? settings.attenuation() : 1);
  }

  @Override
  public Set<String> energised() {
    return Set.copyOf(energised);
  }

  @Override
  public void close() {
    if (!closed) {
      closed = true;
      bench.release();
    }
  }
}
