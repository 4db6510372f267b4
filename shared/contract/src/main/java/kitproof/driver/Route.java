package kitproof.driver;

import java.time.Duration;
import java.util.List;
import kitproof.value.Conditions;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * A named arrangement of relays, as the bench file declares it.
 *
 * @param name unique on its switcher, for example "left 8 ohm tap"
 * @param group routes of one group exclude each other, for example "load left"
 * @param relays the relays that are energised in this route; none means the group is at rest
 * @param settle how long after switching until the contacts are quiet
 * @param purpose what it does to the unit, so that the station can keep its safety rules
 * @param when the conditions under which a step wants this route; empty if only asked for by name
 * @param load the measured resistance it connects, if it is a load
 * @param fullScale the rms of a sine at the inputs that just reaches full scale, if it is a range
 */
public record Route(
    String name,
    String group,
    List<String> relays,
    Duration settle,
    Purpose purpose,
    Conditions when,
    @Nullable Quantity load,
    @Nullable Quantity fullScale) {

  public Route {
    relays = List.copyOf(relays);
  }

  /** A route that is no input range. */
  public Route(
      String name,
      String group,
      List<String> relays,
      Duration settle,
      Purpose purpose,
      Conditions when,
      @Nullable Quantity load) {
    this(name, group, relays, settle, purpose, when, load, null);
  }

  /** The same with another resistance. */
  public Route loadedWith(Quantity resistance) {
    return new Route(name, group, relays, settle, purpose, when, resistance, fullScale);
  }

  /** What a route does to the unit. */
  public enum Purpose {
    /** Drive disconnected from the unit's inputs. */
    MUTE("mute"),
    /** Drive connected to an input. */
    DRIVE("drive"),
    /** Mains disconnected. */
    MAINS_OFF("mains-off"),
    /** Mains through the lamp limiter. */
    MAINS_LIMITED("mains-limited"),
    /** Mains without limiter. */
    MAINS_DIRECT("mains-direct"),
    /** A load on an output. */
    LOAD("load"),
    /** A meter on mains side or rail for checks of the cold unit: never while mains is on. */
    COLD("cold"),
    /** An attenuator before the interface's inputs. */
    RANGE("range"),
    /** Anything that carries neither drive, mains nor load: modes, meter probes. */
    OTHER("other");

    private final String word;

    Purpose(String word) {
      this.word = word;
    }

    /** The word in files and messages. */
    @Override
    public String toString() {
      return word;
    }
  }
}
