package kitproof.run;

import java.util.Set;
import kitproof.driver.InstrumentException;
import kitproof.driver.Switcher;

/** A switcher that selects nothing any more once the bench has been made safe from outside. */
final class GuardedSwitcher extends Guarded implements Switcher {
  private final Switcher switcher;
  private final InstrumentCalls calls;
  private final Halt halt;

  GuardedSwitcher(
      OpenInstrument open, OpenInstrument.Declared declared, InstrumentCalls calls, Halt halt) {
    super(open, declared, calls);
    this.switcher = (Switcher) declared.instrument();
    this.calls = calls;
    this.halt = halt;
  }

  @Override
  public void select(String route) throws InstrumentException {
    var unused =
        calls.call(
            "select " + route,
            InstrumentCalls.done(
                () -> {
                  halt.check();
                  switcher.select(route);
                }));
  }

  @Override
  public Set<String> closed() throws InstrumentException {
    return calls.callToTheEnd("read its relays back", switcher::closed);
  }

  @Override
  public void openAll() throws InstrumentException {
    makeSafe();
  }
}
