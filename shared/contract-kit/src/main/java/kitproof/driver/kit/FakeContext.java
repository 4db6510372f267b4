package kitproof.driver.kit;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Supplier;
import kitproof.driver.BenchClock;
import kitproof.driver.BenchContext;
import kitproof.driver.Handling;
import kitproof.driver.Route;

/** What a test tells a driver that it opens. */
public final class FakeContext implements BenchContext {
  private final BenchClock clock;
  private final String unit;
  private final List<Route> routes;
  private final Map<String, Object> shared;
  private final Handling handling;

  public FakeContext(BenchClock clock) {
    this(clock, "LN12-001", Handling.UNTOLD, List.of(), new HashMap<>());
  }

  private FakeContext(
      BenchClock clock,
      String unit,
      Handling handling,
      List<Route> routes,
      Map<String, Object> shared) {
    this.clock = clock;
    this.unit = unit;
    this.handling = handling;
    this.routes = List.copyOf(routes);
    this.shared = shared;
  }

  /** The same bench for a switcher with these routes. */
  public FakeContext routes(List<Route> routes) {
    return new FakeContext(clock, unit, handling, routes, shared);
  }

  /** A bench of its own with this unit on it. */
  public FakeContext unit(String serial) {
    return new FakeContext(clock, serial, handling, routes, new HashMap<>());
  }

  /** A bench of its own on which the unit came to be so. */
  public FakeContext handled(Handling how) {
    return new FakeContext(clock, unit, how, routes, new HashMap<>());
  }

  @Override
  public Handling handling() {
    return handling;
  }

  @Override
  public BenchClock clock() {
    return clock;
  }

  @Override
  public String unit() {
    return unit;
  }

  @Override
  public List<Route> routes() {
    return routes;
  }

  @Override
  public <T> T shared(String name, Class<T> type, Supplier<T> make) {
    return type.cast(shared.computeIfAbsent(name, n -> make.get()));
  }
}
