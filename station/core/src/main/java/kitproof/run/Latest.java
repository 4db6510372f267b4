package kitproof.run;

import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.LongSupplier;
import kitproof.driver.LiveValue;
import kitproof.driver.Question;
import kitproof.driver.Reading;
import kitproof.procedure.Heard;
import org.jspecify.annotations.Nullable;

/**
 * The latest of what a run reads and asks, for those who watch it: whoever looks rarely misses the
 * values in between and holds up nobody.
 *
 * <p>It is of the moment only; what has to be kept is an event. Readings of the interlocks are
 * among them, so that a watched function is never older than its interlock allows. Safe for several
 * threads.
 */
public final class Latest {
  private final LongSupplier ticker;
  private final Map<Source, Taken> readings = new HashMap<>();
  private long version;
  private final Map<String, Heard> heard = new LinkedHashMap<>();
  private @Nullable Question question;
  private @Nullable LiveValue live;

  private record Source(String meter, String function) {}

  /**
   * A reading with its time.
   *
   * @param ticks as the ticker counts
   */
  public record Taken(Reading reading, long ticks) {}

  /**
   * Nothing has been read or asked.
   *
   * @param ticker real nanoseconds, never backwards
   */
  public Latest(LongSupplier ticker) {
    this.ticker = ticker;
  }

  synchronized void read(String meter, String function, Reading reading) {
    readings.put(new Source(meter, function), new Taken(reading, ticker.getAsLong()));
    version++;
  }

  /** What was heard belongs to the step that heard it. */
  synchronized void stepBegan() {
    heard.clear();
    version++;
  }

  synchronized void heard(Heard one) {
    heard.put(one.channel(), one);
    version++;
  }

  synchronized void asked(Question asked) {
    question = asked;
    live = null;
    version++;
  }

  synchronized void shown(LiveValue value) {
    live = value;
    version++;
  }

  synchronized void withdrawn() {
    question = null;
    live = null;
    version++;
  }

  /** The latest reading of a meter's function; empty if it has not been read yet. */
  public synchronized Optional<Taken> reading(String meter, String function) {
    return Optional.ofNullable(readings.get(new Source(meter, function)));
  }

  /** What the step in progress has heard last, by channel; empty if it has not heard anything. */
  public synchronized List<Heard> heard() {
    return List.copyOf(heard.values());
  }

  /** What the person is asked, whoever plays that part on this bench. */
  public synchronized Optional<Question> question() {
    return Optional.ofNullable(question);
  }

  /** The latest value of the adjustment that is asked for. */
  public synchronized Optional<LiveValue> live() {
    return Optional.ofNullable(live);
  }

  /** Rises with everything that is new. */
  public synchronized long version() {
    return version;
  }
}
