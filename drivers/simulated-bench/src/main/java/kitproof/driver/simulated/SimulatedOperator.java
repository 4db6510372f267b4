package kitproof.driver.simulated;

import java.math.BigDecimal;
import java.math.MathContext;
import java.time.Duration;
import java.util.Optional;
import kitproof.driver.Answer;
import kitproof.driver.BenchClock;
import kitproof.driver.Identity;
import kitproof.driver.InstrumentException;
import kitproof.driver.LiveValue;
import kitproof.driver.Operator;
import kitproof.driver.Question;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * Does what a careful person would: confirms after a moment's thought, reads what there is to be
 * seen, and turns the unit's trimmers by the live value.
 *
 * <p>Declines what cannot be done on this bench rather than making something up.
 */
final class SimulatedOperator implements Operator {
  /** What is looked at while reading by eye. */
  private static final Duration GLANCE = Duration.ofMillis(200);

  /** A person reads three digits off a scale. */
  private static final MathContext BY_EYE = new MathContext(3);

  private final Bench bench;
  private final OperatorSettings settings;
  private final BenchClock clock;
  private @Nullable Question question;
  private @Nullable Answer answer;
  private @Nullable Turning turning;
  private long askedNanos;

  SimulatedOperator(Bench bench, OperatorSettings settings, BenchClock clock) {
    this.bench = bench;
    this.settings = settings;
    this.clock = clock;
  }

  @Override
  public Identity identity() {
    return new Identity("Kitproof", "simulated operator", settings.bench(), "");
  }

  @Override
  public void ask(Question asked) {
    question = asked;
    answer = null;
    turning = null;
    askedNanos = clock.nanos();
    if (asked instanceof Question.Adjustment adjustment) {
      Trimmer trimmer = settings.turns().get(adjustment.control());
      if (trimmer == null) {
        answer = new Answer.Declined("there is no " + adjustment.control() + " on this bench");
      } else {
        turning = new Turning(adjustment, trimmer, bench, clock);
      }
    }
  }

  @Override
  public Optional<Answer> answer() throws InstrumentException {
    Question asked = question;
    boolean thought = clock.nanos() - askedNanos >= settings.thinks().toNanos();
    if (answer == null && thought && asked instanceof Question.Confirm) {
      answer = new Answer.Done();
    } else if (answer == null && thought && asked instanceof Question.Entry entry) {
      answer = seen(entry);
    }
    return Optional.ofNullable(answer);
  }

  private Answer seen(Question.Entry entry) throws InstrumentException {
    Point point = settings.sees().get(entry.name());
    if (point == null) {
      return new Answer.Declined("there is no " + entry.name() + " to be seen on this bench");
    }
    double read = new BigDecimal(bench.read(point, GLANCE)).round(BY_EYE).doubleValue();
    return new Answer.Value(Quantity.of(read, point.unit()));
  }

  @Override
  public void show(LiveValue value) throws InstrumentException {
    Turning now = turning;
    if (now != null && answer == null) {
      answer = now.look(value).orElse(null);
    }
  }

  @Override
  public void makeSafe() {
    question = null;
    answer = null;
    turning = null;
  }

  @Override
  public void close() {
    makeSafe();
  }
}
