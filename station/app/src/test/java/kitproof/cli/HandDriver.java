package kitproof.cli;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.atomic.AtomicBoolean;
import kitproof.driver.Answer;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.driver.Identity;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentException;
import kitproof.driver.InstrumentKind;
import kitproof.driver.LiveValue;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.value.Problem;

/**
 * A person who is asked at the desk, and whose hand is the simulated one: it turns the unit's
 * trimmers by the live value as soon as the test lets it.
 */
final class HandDriver implements DriverProvider {
  static final String ID = "person-with-a-hand";

  private final DriverProvider person;
  private final DriverProvider simulated;
  private final AtomicBoolean turns = new AtomicBoolean();

  HandDriver(DriverProvider person, DriverProvider simulated) {
    this.person = person;
    this.simulated = simulated;
  }

  /** From now on the hand is at the trimmer. */
  void turn() {
    turns.set(true);
  }

  @Override
  public DriverDescription describe() {
    return new DriverDescription(
        ID, "A person with a hand.", Set.of(InstrumentKind.OPERATOR), List.of());
  }

  @Override
  public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
    return simulated.check(kind, settings, routes);
  }

  @Override
  public Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
      throws InstrumentException {
    return new Both(
        (Operator) person.open(kind, settings, context),
        (Operator) simulated.open(kind, settings, context),
        turns);
  }

  private record Both(Operator person, Operator hand, AtomicBoolean turns) implements Operator {
    @Override
    public Identity identity() {
      return person.identity();
    }

    @Override
    public void ask(Question question) throws InstrumentException {
      person.ask(question);
      if (question instanceof Question.Adjustment) {
        hand.ask(question);
      }
    }

    @Override
    public Optional<Answer> answer() throws InstrumentException {
      return person.answer();
    }

    @Override
    public void show(LiveValue value) throws InstrumentException {
      person.show(value);
      if (turns.get()) {
        hand.show(value);
      }
    }

    @Override
    public void makeSafe() throws InstrumentException {
      person.makeSafe();
      hand.makeSafe();
    }

    @Override
    public void close() throws InstrumentException {
      person.close();
      hand.close();
    }
  }
}
