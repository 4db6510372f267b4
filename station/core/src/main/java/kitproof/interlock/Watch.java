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

  /** Since when every reading has been beyond what can be stood for ever. */
  private long beyondSince = NOT_BEYOND;

  private static final long NOT_BEYOND = Long.MAX_VALUE;

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
      beyondSince = NOT_BEYOND;
    }
    armed = wanted;
  }

  /** A reading of its function, whoever asked for it. */
  synchronized Optional<Trip> take(Reading reading, long began) {
    if (!armed || began < armedSince) {
      return Optional.empty(); // of another situation
    }
    nextReading = Math.max(nextReading, began + interlock.every().toNanos());
    boolean rushing = began - armedSince < interlock.after().toNanos();
    String broken = rushing ? "" : interlock.broken(reading);
    broken = broken.isEmpty() && !rushing ? usedUp(reading, began) : broken;
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

  /** What is wrong with how long it has been beyond its budget's value; empty if nothing is. */
  private String usedUp(Reading reading, long began) {
    Interlock.Budget budget = interlock.budget();
    if (budget == null || reading instanceof Reading.NotANumber) {
      return "";
    }
    if (!budget.isUsedBy(reading)) {
      beyondSince = NOT_BEYOND;
      return "";
    }
    beyondSince = Math.min(beyondSince, began);
    return began - beyondSince <= budget.noLonger().toNanos()
        ? ""
        : interlock.source()
            + " has been above "
            + budget.beyond().display()
            + " for "
            + (began - beyondSince) / 1_000_000
            + " ms; that is stood for "
            + budget.noLonger().toMillis()
            + " ms";
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
