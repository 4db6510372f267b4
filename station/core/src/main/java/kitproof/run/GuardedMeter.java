package kitproof.run;

import java.time.Duration;
import java.util.List;
import java.util.concurrent.Callable;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Reading;

/** A meter whose readings count for the interlocks too. */
final class GuardedMeter extends Guarded implements Meter {
  private final Meter meter;
  private final List<MeterFunction> functions;
  private final InstrumentCalls calls;
  private final Acquaintance acquaintance;

  GuardedMeter(
      OpenInstrument open,
      OpenInstrument.Declared declared,
      InstrumentCalls calls,
      Acquaintance acquaintance) {
    super(open, declared, calls);
    this.meter = (Meter) declared.instrument();
    this.functions = declared.functions();
    this.calls = calls;
    this.acquaintance = acquaintance;
  }

  @Override
  public List<MeterFunction> functions() {
    return functions;
  }

  private interface Caller {
    <T> T call(String what, Callable<T> call) throws InstrumentException;
  }

  @Override
  public Reading read(String function) throws InstrumentException {
    return read(
        function,
        new Caller() {
          @Override
          public <T> T call(String what, Callable<T> call) throws InstrumentException {
            return calls.call(what, call);
          }
        });
  }

  /**
   * Reads for who has no more time than this.
   *
   * @throws InstrumentException TIMEOUT if the reading did not come in it
   */
  Reading read(String function, Duration atMost) throws InstrumentException {
    long end = calls.nanos() + atMost.toNanos();
    return read(
        function,
        new Caller() {
          @Override
          public <T> T call(String what, Callable<T> call) throws InstrumentException {
            long left = Math.max(1, end - calls.nanos());
            return calls.callInTime(what, Duration.ofNanos(left), call);
          }
        });
  }

  private Reading read(String function, Caller caller) throws InstrumentException {
    acquaintance.ifOlder(
        Acquaintance.AMID_READINGS, calls.nanos(), () -> caller.call(WHO_IT_IS, recognising()));
    acquaintance.read();
    long began = calls.nanos();
    Reading reading = caller.call("read " + function, () -> meter.read(function));
    calls.taken(function, reading, began);
    return reading;
  }
}
