package kitproof.driver.kit;

import java.util.ArrayList;
import java.util.List;
import kitproof.driver.BenchClock;
import kitproof.driver.InstrumentException;

/**
 * Every call that a bench of fakes got, in order and with its bench time; fails those that a test
 * wants to fail.
 *
 * <p>Give one of these to all fakes of a bench, so that "the 7th call of the run fails" has one
 * meaning. A call that fails has no effect. Safe for use by several threads.
 */
public final class Calls {
  /**
   * One call.
   *
   * @param number from 1
   * @param nanos bench time when it came
   * @param role whose it was
   * @param text what it wanted, for example "read dc-voltage" or "set {K1=true}"
   */
  public record Call(int number, long nanos, String role, String text) {
    @Override
    public String toString() {
      return role + ": " + text;
    }
  }

  private final BenchClock clock;
  private final List<Call> all = new ArrayList<>();
  private int failFrom = Integer.MAX_VALUE;
  private int failTo = Integer.MAX_VALUE;
  private InstrumentException.Kind kind = InstrumentException.Kind.OTHER;

  public Calls(BenchClock clock) {
    this.clock = clock;
  }

  public BenchClock clock() {
    return clock;
  }

  /** The call with this number, from 1, fails; later ones work again. */
  public synchronized Calls failOnce(int number, InstrumentException.Kind kind) {
    return fail(number, number, kind);
  }

  /** The call with this number, from 1, and all later ones fail, closing and making safe too. */
  public synchronized Calls failFrom(int number, InstrumentException.Kind kind) {
    return fail(number, Integer.MAX_VALUE, kind);
  }

  /** No call fails from now on. */
  public synchronized Calls mend() {
    return fail(Integer.MAX_VALUE, Integer.MAX_VALUE, kind);
  }

  private Calls fail(int from, int to, InstrumentException.Kind kind) {
    this.failFrom = from;
    this.failTo = to;
    this.kind = kind;
    return this;
  }

  /** Records a call. Fakes begin each method with it. */
  public synchronized void enter(String role, String text) throws InstrumentException {
    Call call = new Call(all.size() + 1, clock.nanos(), role, text);
    all.add(call);
    if (call.number() >= failFrom && call.number() <= failTo) {
      throw new InstrumentException(
          kind, "scripted failure of call " + call.number() + ", " + call);
    }
  }

  public synchronized int count() {
    return all.size();
  }

  public synchronized List<Call> all() {
    return List.copyOf(all);
  }

  /** "role: text" of every call. */
  public synchronized List<String> texts() {
    return all.stream().map(Call::toString).toList();
  }

  /** The calls of one role. */
  public synchronized List<String> of(String role) {
    return all.stream().filter(c -> c.role().equals(role)).map(Call::text).toList();
  }
}
