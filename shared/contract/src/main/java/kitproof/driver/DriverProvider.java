package kitproof.driver;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import kitproof.value.Problem;
import kitproof.value.Unit;

/**
 * The door of a driver plugin, named in {@code META-INF/services/kitproof.driver.DriverProvider}.
 *
 * <p>Three questions: who are you, is this configuration right, open. The jar's manifest says
 * {@code Driver-Api: 1} ({@link DriverApi}).
 */
public interface DriverProvider {
  /** Who the driver is and what its settings are; touches no hardware. */
  DriverDescription describe();

  /**
   * Everything that is wrong with a role's settings, all at once; touches no hardware.
   *
   * @param settings the role's {@code settings} section
   * @param kind the kind of instrument wanted
   * @param routes the role's routes; empty unless it is a switcher
   */
  List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes);

  /**
   * Opens the instrument and leaves it safe.
   *
   * @return an instance of {@code kind}'s interface
   */
  Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
      throws InstrumentException;

  /**
   * Whether its instruments live in the bench's time alone. In simulated time nothing waits, so a
   * real relay would never settle: a bench file asks for it only where every driver says yes.
   */
  default boolean livesInBenchTime() {
    return false;
  }

  /**
   * What of this machine the instrument takes for itself alone, such as a port; two runs that name
   * the same are not let in at once. Touches no hardware.
   */
  default List<String> claims(InstrumentKind kind, Settings settings) {
    return List.of();
  }

  /**
   * What whoever builds or checks the bench has to know of the instrument as it is set, a sentence
   * each: what it cannot do for safety that others of its kind do. Touches no hardware.
   */
  default List<String> cautions(InstrumentKind kind, Settings settings) {
    return List.of();
  }

  /** What of this driver's kind is present on this machine: ports, devices; a line each. */
  default List<String> present() {
    return List.of();
  }

  /** The unit of a meter's function, if the driver or its settings tell; touches no hardware. */
  default Optional<Unit> unit(Settings settings, String function) {
    return Optional.empty();
  }

  /**
   * How long a reading of a meter's function takes at most, choosing the function included, if the
   * driver or its settings tell; touches no hardware.
   */
  default Optional<Duration> readingTime(Settings settings, String function) {
    return Optional.empty();
  }

  /**
   * How long a switcher waits for an answer of its board before that counts as lost, if the driver
   * or its settings tell: so much later comes a command that waits behind it. Touches no hardware.
   */
  default Optional<Duration> answerTime(Settings settings) {
    return Optional.empty();
  }
}
