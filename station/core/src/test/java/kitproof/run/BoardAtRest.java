package kitproof.run;

import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Consumer;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.Route;
import kitproof.driver.Switcher;

/** A relay board all of whose relays are at rest; a test says what happens as it is opened. */
final class BoardAtRest implements Switcher {
  /** What opening all relays does, until it has succeeded once. */
  interface Opening {
    /**
     * Opens them.
     *
     * @param drives whether the board carries the drive
     */
    void now(boolean drives) throws InstrumentException;

    /** The board is closed. */
    default void closed(boolean drives) {}
  }

  private final boolean drives;
  private final Set<String> atRest = new LinkedHashSet<>();
  private final Opening opening;
  private final Consumer<String> selected;
  private boolean safe;

  /**
   * A board with these routes.
   *
   * @param selected is told of routes that are selected
   */
  BoardAtRest(List<Route> routes, Opening opening, Consumer<String> selected) {
    this.drives = routes.stream().anyMatch(r -> r.purpose() == Route.Purpose.DRIVE);
    routes.stream().filter(r -> r.relays().isEmpty()).map(Route::name).forEach(atRest::add);
    this.opening = opening;
    this.selected = selected;
  }

  @Override
  public Identity identity() {
    return new Identity("Fake", "board", "", "");
  }

  @Override
  public void select(String route) {
    selected.accept(route);
  }

  @Override
  public Set<String> closed() {
    return atRest;
  }

  @Override
  public void makeSafe() throws InstrumentException {
    openAll();
  }

  @Override
  public void openAll() throws InstrumentException {
    if (!safe) {
      opening.now(drives);
      safe = true;
    }
  }

  @Override
  public void close() {
    opening.closed(drives);
  }
}
