package kitproof.operator;

import java.util.List;
import java.util.Optional;
import java.util.Set;
import kitproof.driver.Answer;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.driver.Identity;
import kitproof.driver.Instrument;
import kitproof.driver.InstrumentKind;
import kitproof.driver.LiveValue;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.value.Problem;

/** The driver {@code person}: whoever sits before the front ends of this program. */
public final class PersonDriver implements DriverProvider {
  /** As bench files name it. */
  public static final String ID = "person";

  private final Desk desk;

  /**
   * A person at this desk.
   *
   * @param desk where the front ends look
   */
  public PersonDriver(Desk desk) {
    this.desk = desk;
  }

  @Override
  public DriverDescription describe() {
    return new DriverDescription(
        ID,
        "The person at this bench, asked on the terminal that started the run or at the operator's"
            + " screen.",
        Set.of(InstrumentKind.OPERATOR),
        List.of());
  }

  @Override
  public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
    return settings.problems();
  }

  @Override
  public Instrument open(InstrumentKind kind, Settings settings, BenchContext context) {
    return new Person(desk);
  }

  private record Person(Desk desk) implements Operator {
    @Override
    public Identity identity() {
      return new Identity("", "the person at this bench", "", "");
    }

    @Override
    public void ask(Question question) {
      desk.ask(question);
    }

    @Override
    public Optional<Answer> answer() {
      return desk.taken();
    }

    @Override
    public void show(LiveValue value) {
      desk.show(value);
    }

    @Override
    public void makeSafe() {
      desk.withdraw();
    }

    @Override
    public void close() {
      desk.withdraw();
    }
  }
}
