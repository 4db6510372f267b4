package kitproof.driver.kit;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.DoubleSupplier;
import java.util.function.Supplier;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.Meter;
import kitproof.driver.MeterFunction;
import kitproof.driver.Reading;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/** A meter whose readings a test scripts. Strict: what was not declared cannot be read. */
public final class FakeMeter implements Meter {
  private final Calls calls;
  private final String role;
  private final Map<String, MeterFunction> functions = new LinkedHashMap<>();
  private final Map<String, Supplier<Reading>> answers = new LinkedHashMap<>();
  private boolean closed;
  private volatile boolean exchanged;

  public FakeMeter(Calls calls, String role) {
    this.calls = calls;
    this.role = role;
  }

  /** Declares a function that reads what the supplier says, for example a curve over bench time. */
  public FakeMeter function(String name, Unit unit, DoubleSupplier value) {
    return answer(name, unit, () -> new Reading.Value(Quantity.of(value.getAsDouble(), unit)));
  }

  /** Declares a function that reads these values in turn and then the last one for ever. */
  public FakeMeter function(String name, Unit unit, double first, double... more) {
    Deque<Reading> queue = new ArrayDeque<>();
    queue.add(new Reading.Value(Quantity.of(first, unit)));
    for (double value : more) {
      queue.add(new Reading.Value(Quantity.of(value, unit)));
    }
    return inTurn(name, unit, queue);
  }

  /** Declares a function with these readings in turn and then the last one for ever. */
  public FakeMeter readings(String name, Unit unit, Reading first, Reading... more) {
    Deque<Reading> queue = new ArrayDeque<>();
    queue.add(first);
    queue.addAll(List.of(more));
    return inTurn(name, unit, queue);
  }

  private FakeMeter inTurn(String name, Unit unit, Deque<Reading> queue) {
    return answer(name, unit, () -> queue.size() > 1 ? queue.remove() : queue.element());
  }

  private FakeMeter answer(String name, Unit unit, Supplier<Reading> answer) {
    functions.put(name, new MeterFunction(name, unit));
    answers.put(name, answer);
    return this;
  }

  public boolean isClosed() {
    return closed;
  }

  @Override
  public Identity identity() {
    return new Identity("Fake", "meter", role, "1");
  }

  @Override
  public List<MeterFunction> functions() {
    return List.copyOf(functions.values());
  }

  @Override
  public Reading read(String function) throws InstrumentException {
    Fakes.requireOpen(closed, role);
    calls.enter(role, "read " + function);
    Supplier<Reading> answer = answers.get(function);
    if (answer == null) {
      throw new InstrumentException(
          InstrumentException.Kind.RANGE, role + " has no function \"" + function + "\"");
    }
    return answer.get();
  }

  /** Another instrument answers from now on. */
  public FakeMeter exchange() {
    exchanged = true;
    return this;
  }

  @Override
  public void recognise() throws InstrumentException {
    Fakes.requireOpen(closed, role);
    calls.enter(role, "recognise");
    if (exchanged) {
      throw new InstrumentException(
          InstrumentException.Kind.PROTOCOL, "another instrument answers, not " + identity());
    }
  }

  @Override
  public void makeSafe() throws InstrumentException {
    if (!closed) {
      calls.enter(role, "make safe");
    }
  }

  @Override
  public void close() throws InstrumentException {
    if (!closed) {
      closed = true;
      calls.enter(role, "close");
    }
  }
}
