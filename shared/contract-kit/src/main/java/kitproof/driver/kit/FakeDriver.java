package kitproof.driver.kit;

import java.util.List;
import java.util.Set;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.value.Problem;

/**
 * A driver of every kind of instrument, which has no settings and opens what a test says.
 *
 * @param id by which a bench file names it
 * @param opening what it opens
 */
public record FakeDriver(String id, Opening opening) implements DriverProvider {
  /** What a driver opens. */
  public interface Opening {
    /** The instrument, as {@link DriverProvider#open} returns it. */
    Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
        throws InstrumentException;
  }

  @Override
  public DriverDescription describe() {
    return new DriverDescription(id, "fakes", Set.of(InstrumentKind.values()), List.of());
  }

  @Override
  public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
    return settings.problems();
  }

  @Override
  public Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
      throws InstrumentException {
    return opening.open(kind, settings, context);
  }
}
