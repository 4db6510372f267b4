package kitproof.operator;

import java.time.Duration;
import java.util.Optional;
import kitproof.driver.Answer;
import kitproof.driver.LiveValue;
import kitproof.driver.Question;
import org.jspecify.annotations.Nullable;

/**
 * Where questions to the person lie until they are answered or taken back.
 *
 * <p>A run puts questions; front ends, any number of them, look at what stands, show it, and answer
 * it by its number, so that an answer can never meet a question it was not meant for. What an
 * answer may be is decided here, once for all front ends. The live value is the latest one only:
 * who looks rarely misses the others and holds up nobody. Safe for several threads.
 */
public final class Desk {
  private long number;
  private long version;
  private @Nullable Question question;
  private @Nullable LiveValue live;
  private @Nullable Answer answer;

  /**
   * A question that stands.
   *
   * @param number its own, never used again
   */
  public record Standing(long number, Question question) {}

  /** Puts a question in the place of one that stood. */
  synchronized void ask(Question asked) {
    number++;
    question = asked;
    live = null;
    answer = null;
    changed();
  }

  /** Takes back what stands. */
  synchronized void withdraw() {
    if (question != null) {
      question = null;
      live = null;
      answer = null;
      changed();
    }
  }

  synchronized void show(LiveValue value) {
    if (question != null) {
      live = value;
      changed();
    }
  }

  synchronized Optional<Answer> taken() {
    return Optional.ofNullable(answer);
  }

  /** The question that waits for an answer. */
  public synchronized Optional<Standing> standing() {
    return question == null || answer != null
        ? Optional.empty()
        : Optional.of(new Standing(number, question));
  }

  /** The latest value of the adjustment that stands. */
  public synchronized Optional<LiveValue> live() {
    return Optional.ofNullable(live);
  }

  /**
   * Answers.
   *
   * @param to the number of the question that is meant
   * @return why the answer cannot be taken; empty if it was
   */
  public synchronized Optional<String> answer(long to, Answer given) {
    Question asked = question;
    if (asked == null || to != number || answer != null) {
      return Optional.of("the question does not stand any more");
    }
    Optional<String> refusal = refusal(asked, given);
    if (refusal.isEmpty()) {
      answer = given;
      changed();
    }
    return refusal;
  }

  private static Optional<String> refusal(Question asked, Answer given) {
    if (given instanceof Answer.Declined) {
      return Optional.empty();
    }
    if (asked instanceof Question.Confirm && given instanceof Answer.Done) {
      return Optional.empty();
    }
    if (asked instanceof Question.Entry entry && given instanceof Answer.Value value) {
      if (value.quantity().unit() != entry.plausible().low().unit()) {
        return Optional.of(
            "found " + value.quantity() + "; expected " + Typed.expected(entry.plausible()));
      }
      return entry.plausible().contains(value.quantity())
          ? Optional.empty()
          : Optional.of(
              "found " + value.quantity() + "; expected " + Typed.expected(entry.plausible()));
    }
    if (asked instanceof Question.Adjustment) {
      return Optional.of("an adjustment is over when its reading stays inside; it can be declined");
    }
    return Optional.of("that does not answer this question");
  }

  /** A mark to wait from with {@link #await}. */
  public synchronized long seen() {
    return version;
  }

  /** Returns when something changed since the mark, or the bound of real time has passed. */
  @SuppressWarnings("WaitNotInLoop") // callers look again themselves, and sooner is allowed
  public synchronized void await(long mark, Duration bound) throws InterruptedException {
    long nanos = bound.toNanos();
    if (version == mark && nanos > 0) {
      wait(nanos / 1_000_000, (int) (nanos % 1_000_000));
    }
  }

  private void changed() {
    version++;
    notifyAll();
  }
}
