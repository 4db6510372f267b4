package kitproof.run;

import java.util.concurrent.Callable;
import kitproof.driver.Identity;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;

/** An instrument as a step sees it: nothing it does can hold the sequence up for long. */
abstract class Guarded implements Instrument {
  static final String WHO_IT_IS = "say who it is";

  private final OpenInstrument open;
  private final OpenInstrument.Declared declared;
  private final InstrumentCalls calls;

  Guarded(OpenInstrument open, OpenInstrument.Declared declared, InstrumentCalls calls) {
    this.open = open;
    this.declared = declared;
    this.calls = calls;
  }

  @Override
  public final Identity identity() {
    return declared.identity();
  }

  @Override
  public final void recognise() throws InstrumentException {
    var unused = calls.call(WHO_IT_IS, recognising());
  }

  /** The question who it is, as a call. */
  final Callable<Boolean> recognising() {
    return InstrumentCalls.done(declared.instrument()::recognise);
  }

  @Override
  public void makeSafe() throws InstrumentException {
    open.makeSafe();
  }

  /** The bench closes its instruments, not the steps. */
  @Override
  public final void close() {}
}
