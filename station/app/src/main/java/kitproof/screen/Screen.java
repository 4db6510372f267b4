package kitproof.screen;

import java.io.IOException;
import java.time.Duration;
import java.time.InstantSource;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.function.Function;
import java.util.function.LongSupplier;
import kitproof.cause.Found;
import kitproof.cause.Suggestion;
import kitproof.event.Entry;
import kitproof.journal.Follower;
import kitproof.operator.Desk;
import kitproof.run.Latest;
import kitproof.web.Versioned;
import org.jspecify.annotations.Nullable;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * What is to be seen at the bench now: the run's fold, its latest values, the question that stands.
 * It steers nothing. Safe for several threads.
 */
public final class Screen implements Versioned {
  private static final Logger LOG = LoggerFactory.getLogger(Screen.class);
  private static final int MOST_NOTES = 12;
  private static final Duration BOUND = Duration.ofMillis(500);

  /** Values of the moment ring no bell; oftener than this no page is told of them anyway. */
  private static final Duration GLANCE = Duration.ofMillis(100);

  private final Facts facts;
  private final Desk desk;
  private final InstantSource calendar;
  private final LongSupplier ticker;
  private final Deque<String> notes = new ArrayDeque<>();
  private InstantSource benchTime;
  private long changes;
  private boolean running;
  private boolean stopping;
  private String unit = "";
  private String trouble = "";
  private @Nullable RunFold fold;
  private @Nullable Latest latest;
  private @Nullable Watched watched;

  /**
   * What does not change.
   *
   * @param pace bench seconds per real second
   */
  public record Facts(String shop, String station, String bench, double pace) {}

  /**
   * Nothing has happened yet.
   *
   * @param desk where questions to the person lie
   * @param ticker real nanoseconds, never backwards; the one of every {@link Latest} shown
   */
  public Screen(Facts facts, Desk desk, InstantSource calendar, LongSupplier ticker) {
    this.facts = facts;
    this.desk = desk;
    this.calendar = calendar;
    this.benchTime = calendar;
    this.ticker = ticker;
  }

  /** Something of the station that the operator should know. */
  public synchronized void note(String text) {
    notes.addLast(text);
    if (notes.size() > MOST_NOTES) {
      notes.removeFirst();
    }
    changed();
  }

  /** A run of this unit is about to begin. */
  public synchronized void beginning(String serial) {
    running = true;
    stopping = false;
    unit = serial;
    trouble = "";
    fold = null;
    latest = null;
    watched = null;
    changed();
  }

  /**
   * The run is over.
   *
   * @param why it could not be begun or recorded; empty if it was
   */
  public synchronized void over(String why) {
    running = false;
    trouble = why;
    if (fold != null && !why.isEmpty()) {
      fold.brokeOff();
    }
    changed();
  }

  /** Somebody has taken the controls or given them back. */
  synchronized void touched() {
    changed();
  }

  /** The run has been asked to stop. */
  public synchronized void stopping() {
    stopping = true;
    changed();
  }

  /**
   * A run that is followed from here on, on a thread of its own.
   *
   * @param follower of its journal; closed at the end
   * @param values its latest
   * @param plan what of it is worth watching
   * @param clock of the run
   * @param causes what a failure usually means
   * @return to be joined when the run has ended
   */
  public Thread follow(
      Follower follower,
      Latest values,
      PlanFacts plan,
      InstantSource clock,
      Function<List<Found>, List<Suggestion>> causes) {
    RunFold run = new RunFold(causes);
    synchronized (this) {
      fold = run;
      latest = values;
      watched = Watched.of(plan.plan(), plan.limits());
      benchTime = clock;
      changed();
    }
    Thread thread = new Thread(() -> follow(follower, run), "kitproof-screen");
    thread.setDaemon(true);
    thread.start();
    return thread;
  }

  private void follow(Follower follower, RunFold run) {
    try (follower) {
      while (!follower.finished()) {
        List<Entry> entries = follower.await(100, BOUND);
        synchronized (this) {
          entries.forEach(run::add);
          if (!entries.isEmpty()) {
            changed();
          }
        }
      }
    } catch (IOException | RuntimeException e) {
      LOG.warn("the screen cannot follow the journal any more", e);
      note("The screen cannot follow the run any more: " + e.getMessage());
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void changed() {
    changes++;
    notifyAll();
  }

  @Override
  public synchronized long version() {
    Latest values = latest;
    return changes + desk.seen() + (values == null ? 0 : values.version());
  }

  @Override
  public long await(long seen, Duration most) throws InterruptedException {
    long until = ticker.getAsLong() + most.toNanos();
    while (version() == seen && ticker.getAsLong() < until) {
      synchronized (this) {
        wait(GLANCE.toMillis());
      }
    }
    return version();
  }

  /** Whether a run is going on. */
  synchronized boolean running() {
    return running;
  }

  /**
   * Whether a stop can do nothing but end the watch over the discharge: mains is off already, by an
   * earlier stop or by the plan's shut-down.
   */
  public synchronized boolean onlyDischargeLeft() {
    return running && (stopping || discharging());
  }

  private boolean discharging() {
    RunFold run = fold;
    Watched plan = watched;
    if (run == null || plan == null || run.over()) {
      return false;
    }
    int current = run.current();
    return current >= 0 && current < plan.discharges().size() && plan.discharges().get(current);
  }

  /** For a page. */
  synchronized ScreenView view(String token, ScreenView.Driving control) {
    return new ScreenView(
        calendar.instant().toEpochMilli(),
        facts.shop(),
        facts.station(),
        facts.bench(),
        facts.pace(),
        token,
        control,
        List.copyOf(notes),
        running,
        unit,
        trouble,
        Moment.rail(watched, latest, ticker.getAsLong()),
        fold == null
            ? new ScreenView.OpeningView(
                "unknown",
                running ? "a run is being prepared" : "nothing has been measured here yet")
            : fold.opening(),
        fold == null
            ? null
            : fold.view(
                benchTime.instant(),
                stopping && !fold.over(),
                discharging(),
                fold.over() ? List.of() : Moment.live(fold.current(), watched, latest),
                fold.over() ? null : Moment.question(desk, latest)));
  }

  /** The desk at which questions are answered. */
  Desk desk() {
    return desk;
  }
}
