package kitproof.driver;

import java.util.List;
import java.util.function.Supplier;

/** What the station tells a driver that it opens. */
public interface BenchContext {
  /** The time of the bench. */
  BenchClock clock();

  /** The serial number of the unit on the bench; a simulated bench puts that unit there. */
  String unit();

  /** How the unit came to be there; only a simulation has a use for it. */
  default Handling handling() {
    return Handling.UNTOLD;
  }

  /** The routes of the role that is opened; empty unless it is a switcher. */
  List<Route> routes();

  /**
   * One object for all instruments that are opened together on this bench and ask for the same
   * name: the first call makes it.
   */
  <T> T shared(String name, Class<T> type, Supplier<T> make);

  /**
   * Tells what is no failure but belongs on record and before the operator, such as a reply that
   * had to be asked for twice. From any thread, at any time.
   *
   * @param text for people; the role is put before it
   */
  default void notice(String text) {}

  /**
   * Whether making this instrument safe, or closing it, waits for the call that is under way: then
   * what has failed is better told at once than tried again. From any thread, at any time.
   */
  default boolean isSafeStateWaiting() {
    return false;
  }
}
