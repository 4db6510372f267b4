package kitproof.run;

import java.util.Optional;
import kitproof.driver.Answer;
import kitproof.driver.InstrumentException;
import kitproof.driver.LiveValue;
import kitproof.driver.Operator;
import kitproof.driver.Question;

/** The person, whose question others may look at too. */
final class GuardedOperator extends Guarded implements Operator {
  private final Operator operator;
  private final InstrumentCalls calls;
  private final Latest latest;

  GuardedOperator(
      OpenInstrument open, OpenInstrument.Declared declared, InstrumentCalls calls, Latest latest) {
    super(open, declared, calls);
    this.operator = (Operator) declared.instrument();
    this.calls = calls;
    this.latest = latest;
  }

  @Override
  public void ask(Question question) throws InstrumentException {
    latest.asked(question);
    var unused = calls.call("ask", InstrumentCalls.done(() -> operator.ask(question)));
  }

  @Override
  public void makeSafe() throws InstrumentException {
    latest.withdrawn();
    super.makeSafe();
  }

  @Override
  public Optional<Answer> answer() throws InstrumentException {
    return calls.call("look for an answer", operator::answer);
  }

  @Override
  public void show(LiveValue value) throws InstrumentException {
    latest.shown(value);
    var unused = calls.call("show a value", InstrumentCalls.done(() -> operator.show(value)));
  }
}
