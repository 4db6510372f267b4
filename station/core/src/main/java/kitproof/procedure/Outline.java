package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import kitproof.driver.InstrumentKind;
import kitproof.value.Conditions;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * What a step needs and yields, told before anything is touched.
 *
 * @param promises the results it yields
 * @param needs the instruments it uses
 * @param drives whether it drives the unit's input
 * @param loaded whether its results hold for an output with a load on it; so it is for everything
 *     that drives
 * @param mains the mains it applies itself, beyond what the step asks for
 * @param expected bench time it should take
 */
public record Outline(
    List<Promise> promises,
    List<Need> needs,
    boolean drives,
    boolean loaded,
    MainsUse mains,
    Duration expected) {
  public Outline {
    if (drives && !loaded) {
      throw new IllegalArgumentException("drive without a load");
    }
    promises = List.copyOf(promises);
    needs = List.copyOf(needs);
  }

  /** A step that wants a load just when it drives. */
  public Outline(
      List<Promise> promises, List<Need> needs, boolean drives, MainsUse mains, Duration expected) {
    this(promises, needs, drives, drives, mains, expected);
  }

  /** A step that listens to the loaded output while nothing is driven. */
  static Outline ofListening(List<Promise> promises, String audio, Duration expected) {
    Need need = new Need(audio, InstrumentKind.AUDIO_INTERFACE, "");
    return new Outline(promises, List.of(need), false, true, MainsUse.NONE, expected);
  }

  /**
   * A result to come.
   *
   * @param name the result's name
   * @param more conditions beyond the step's
   * @param unit its unit (of y, if a curve), or null if only the instrument knows
   * @param curve whether it is a curve
   * @param perChannel whether a step for both channels yields one for each of them
   */
  public record Promise(
      String name, Conditions more, @Nullable Unit unit, boolean curve, boolean perChannel) {
    /** A result of the step as a whole. */
    public Promise(String name, Conditions more, @Nullable Unit unit, boolean curve) {
      this(name, more, unit, curve, false);
    }

    /** A result that each channel has for itself. */
    public static Promise ofChannel(
        String name, Conditions more, @Nullable Unit unit, boolean curve) {
      return new Promise(name, more, unit, curve, true);
    }
  }

  /**
   * An instrument by its role.
   *
   * @param role as the bench file names it
   * @param kind what it must be
   * @param function the meter's function; empty for other kinds
   */
  public record Need(String role, InstrumentKind kind, String function) {}

  /** What a procedure does with the mains by itself. */
  public enum MainsUse {
    /** Nothing. */
    NONE,
    /** Applies mains through the limiter, and judges the rise. */
    FIRST_POWER,
    /** Takes the mains away. */
    OFF,
    /** Works on the cold unit only: mains is off and has not been on. */
    COLD
  }
}
