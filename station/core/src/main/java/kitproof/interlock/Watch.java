package kitproof.interlock;

import java.util.Optional;
import kitproof.driver.Reading;

/**
 * The memory of one interlock: armed or not, when it was last seen good, when to look again.
 *
 * <p>Its promise: as long as it is armed, either a reading that began less than {@link
 * Interlock#oldest} ago lay within the band, or it trips. A value that leaves the band is therefore
 * never on for longer than that, whatever becomes of the meter. Knows no clock and no thread; safe
 * for several.
 */
final class Watch {
  private final Interlock interlock;
  private boolean armed;
  private long armedSince;
  private long lastGood;
  private long nextReading;

  Watch(Interlock interlock) {
    this.interlock = interlock;
  }

  Interlock interlock() {
    return interlock;
  }

  /** Arms or disarms it; armed again it begins anew. */
  synchronized void enter(Situation situation, long now) {
    boolean wanted = interlock.armedIn(situation);
    if (wanted && !armed) {
      armedSince = now;
      lastGood = now;
      nextReading = now;
    }
    armed = wanted;
  }

  /** A reading of its function, whoever asked for it. */
  synchronized Optional<Trip> take(Reading reading, long began) {
    if (!armed || began < armedSince) {
      return Optional.empty(); // of another situation
    }
    nextReading = Math.max(nextReading, began + interlock.every().toNanos());
    String broken =
        began - armedSince < interlock.after().toNanos() ? "" : interlock.broken(reading);
    if (!broken.isEmpty()) {
      return Optional.of(
          new Trip(
              interlock.name(),
              broken,
              reading instanceof Reading.Value value ? value.quantity() : null,
              false,
              began));
    }
    if (!(reading instanceof Reading.NotANumber)) {
      lastGood = Math.max(lastGood, began);
    }
    return Optional.empty();
  }

  /** The meter failed. */
  synchronized Optional<Trip> failed(String why, long now) {
    return armed ? Optional.of(new Trip(interlock.name(), why, null, true, now)) : Optional.empty();
  }

  /** Whether the last good reading has become too old. */
  synchronized Optional<Trip> look(long now) {
    if (!armed || now <= staleAt()) {
      return Optional.empty();
    }
    String why =
        interlock.source()
            + " has given no reading for "
            + (now - lastGood) / 1_000_000
            + " ms; it must not be older than "
            + interlock.oldest().toMillis()
            + " ms";
    return Optional.of(new Trip(interlock.name(), why, null, true, now));
  }

  /** Bench time of the next reading; {@link Long#MAX_VALUE} while it is not armed. */
  synchronized long readingDue() {
    return armed ? nextReading : Long.MAX_VALUE;
  }

  /** Bench time after which the last good reading is too old. */
  synchronized long staleAt() {
    return armed ? lastGood + interlock.oldest().toNanos() : Long.MAX_VALUE;
  }

  /** Whether a reading of this function is one of its own. */
  boolean watches(String meter, String function) {
    return interlock.meter().equals(meter) && interlock.function().equals(function);
  }

  @Override
  public String toString() {
    return interlock.name();
  }
}
