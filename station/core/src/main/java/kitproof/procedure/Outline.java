package kitproof.procedure;

import java.time.Duration;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import kitproof.driver.InstrumentKind;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
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
 * @param drive what it drives into a load, or null if it drives nothing, or does not say
 * @param exchanges routes that it selects by itself for a while, as {@link StepBench#rerouted}
 *     takes them
 * @param earlier results of earlier steps that it uses
 */
public record Outline(
    List<Promise> promises,
    List<Need> needs,
    boolean drives,
    boolean loaded,
    MainsUse mains,
    Duration expected,
    @Nullable Drive drive,
    List<String> exchanges,
    List<Earlier> earlier) {
  public Outline {
    if (drives && !loaded) {
      throw new IllegalArgumentException("drive without a load");
    }
    promises = List.copyOf(promises);
    needs = List.copyOf(needs);
    exchanges = List.copyOf(exchanges);
    earlier = List.copyOf(earlier);
  }

  /**
   * Of a step that wants a load just when it drives, drives no stated power, leaves its routes
   * alone and uses no earlier results.
   */
  public Outline(
      List<Promise> promises, List<Need> needs, boolean drives, MainsUse mains, Duration expected) {
    this(promises, needs, drives, drives, mains, expected, null, List.of(), List.of());
  }

  /** The same for a step that selects these routes by itself for a while. */
  public Outline exchanging(String... routes) {
    return new Outline(
        promises, needs, drives, loaded, mains, expected, drive, List.of(routes), earlier);
  }

  /** Whether it touches neither instruments nor relays, so that its conditions select no route. */
  public boolean touchesNothing() {
    return needs.isEmpty() && !drives && exchanges.isEmpty() && mains == MainsUse.NONE;
  }

  /** Whether it listens to outputs, in whatever input range it chooses by itself. */
  public boolean listens() {
    return needs.stream().anyMatch(need -> need.kind() == InstrumentKind.AUDIO_INTERFACE);
  }

  /** The other units whose records it needs, as the plan names them. */
  public Set<String> otherUnits() {
    return earlier.stream()
        .map(Earlier::unit)
        .filter(unit -> !unit.isEmpty())
        .collect(Collectors.toCollection(TreeSet::new));
  }

  /** Every result promised, invalid for one reason, under these conditions and its own. */
  public List<Measurement> invalid(Conditions conditions, String reason) {
    return promises.stream()
        .map(p -> Measurement.invalid(p.name(), conditions.and(p.more()), reason))
        .toList();
  }

  /** The same for a step that drives this power, in signals of which the longest is so long. */
  public Outline driving(Quantity power, Duration longest) {
    return new Outline(
        promises,
        needs,
        drives,
        loaded,
        mains,
        expected,
        new Drive(power, longest),
        exchanges,
        earlier);
  }

  /** A step that drives the unit and listens to its loaded output. */
  static Outline ofDriving(List<Promise> promises, String audio, Duration expected) {
    Need need = new Need(audio, InstrumentKind.AUDIO_INTERFACE, "");
    return new Outline(promises, List.of(need), true, MainsUse.NONE, expected);
  }

  /** A step that listens to the loaded output while nothing is driven. */
  static Outline ofListening(List<Promise> promises, String audio, Duration expected) {
    Need need = new Need(audio, InstrumentKind.AUDIO_INTERFACE, "");
    return new Outline(
        promises, List.of(need), false, true, MainsUse.NONE, expected, null, List.of(), List.of());
  }

  /**
   * What a step drives into a load.
   *
   * @param power the highest power, which it does not exceed
   * @param longest how long it drives that power at least, in one signal
   */
  public record Drive(Quantity power, Duration longest) {}

  /**
   * A result to come.
   *
   * @param name the result's name
   * @param more conditions beyond the step's
   * @param unit its unit (of y, if a curve), or null if only the instrument knows
   * @param curve whether it is a curve
   * @param perChannel whether a step for both channels yields one for each of them
   * @param against the unit of a curve's x, or null if that is not told
   * @param basis what its uncertainty rests on; empty if it has none, as a yes or no
   */
  public record Promise(
      String name,
      Conditions more,
      @Nullable Unit unit,
      boolean curve,
      boolean perChannel,
      @Nullable Unit against,
      Set<Basis> basis) {
    public Promise {
      basis = Set.copyOf(basis);
    }

    /** A result of the step as a whole. */
    public Promise(String name, Conditions more, @Nullable Unit unit, boolean curve) {
      this(name, more, unit, curve, false, null, Set.of());
    }

    /** The same, a curve against this unit. */
    public Promise against(Unit x) {
      return new Promise(name, more, unit, curve, perChannel, x, basis);
    }

    /** The same, known by these. */
    public Promise known(Basis... by) {
      return new Promise(name, more, unit, curve, perChannel, against, Set.of(by));
    }

    /** A result that each channel has for itself. */
    public static Promise ofChannel(
        String name, Conditions more, @Nullable Unit unit, boolean curve) {
      return new Promise(name, more, unit, curve, true, null, Set.of());
    }
  }

  /** What the uncertainty of a result rests on, besides what is observed in the run. */
  public enum Basis {
    /** Full scale and path of the channel's input. */
    INPUT("the full scale and path of the input"),
    /** Phase of the path, with its uncertainty. */
    PHASE("the phase of the path with its uncertainty (phase-u)"),
    /** Full scale of the channel's output. */
    OUTPUT("the full scale of the output"),
    /** Resistance of the load. */
    LOAD("the resistance of the load"),
    /** Resistance behind the routes that the step selects by itself. */
    EXCHANGED("the resistance of the route that is exchanged"),
    /** What the step itself has to state; it is named only where it does not. */
    SOURCE_WITHIN("source-within in the step"),
    /** The station's own distortion and noise. */
    RESIDUAL("the station's own residual"),
    /** What of one channel comes in at another by the station itself. */
    LEAKAGE("the leakage between channels"),
    /** Limits of error of the step's meters. */
    METER("the limits of error of the meter"),
    /** Nothing but what is seen in the run, or what other results rest on. */
    OBSERVED("what is observed");

    private final String words;

    Basis(String words) {
      this.words = words;
    }

    @Override
    public String toString() {
      return words;
    }
  }

  /**
   * An instrument by its role.
   *
   * @param role as the bench file names it
   * @param kind what it must be
   * @param function the meter's function; empty for other kinds
   * @param within how far apart its readings may be; null if the step can wait
   */
  public record Need(String role, InstrumentKind kind, String function, @Nullable Duration within) {
    /** One for whose readings the step can wait. */
    public Need(String role, InstrumentKind kind, String function) {
      this(role, kind, function, null);
    }
  }

  /**
   * A result of an earlier step.
   *
   * @param result its name
   * @param more what it holds under, beyond the step's conditions or in their place
   * @param curve whether it must be a curve
   * @param unit of which other unit's record, a serial number or {@link ReferenceUnit#NAMED}; empty
   *     for one of this run
   */
  public record Earlier(String result, Conditions more, boolean curve, String unit) {
    /** One of this run. */
    public Earlier(String result, Conditions more, boolean curve) {
      this(result, more, curve, "");
    }
  }

  /** What a procedure does with the mains by itself. */
  public enum MainsUse {
    /** Nothing. */
    NONE,
    /** Applies mains through the limiter, and judges the rise. */
    FIRST_POWER,
    /** Takes the mains away. */
    OFF,
    /** Works on the cold unit, or on the station, only: mains is off and has not been on. */
    COLD
  }
}
