package kitproof.screen;

import io.javalin.http.Context;
import java.util.Optional;
import kitproof.driver.Answer;
import kitproof.operator.Desk;
import kitproof.operator.Typed;
import kitproof.run.StopEffect;
import kitproof.run.StopReach;
import org.jspecify.annotations.Nullable;

/**
 * What pages of the operator's screen say. What changes something is taken only from the page
 * itself (the guard looks at where it comes from, and here its token), from the bench, and from
 * whoever has the controls; only a stop is taken from everyone who may look.
 */
final class Spoken {
  private static final String BY_OPERATOR = "stopped by the operator";
  private static final String BY_WATCHER = "stopped at a screen that watches";

  private final Screen screen;
  private final Station station;
  private final Seats seats;
  private final Control control;

  Spoken(Screen screen, Station station, Seats seats, Control control) {
    this.screen = screen;
    this.station = station;
    this.seats = seats;
    this.control = control;
  }

  /** Whether the controls are taken or given back. */
  record Take(boolean take) {}

  void control(Context request) {
    String seat = seats.driver(request);
    boolean wanted = Said.body(request, Take.class).take();
    if (!wanted) {
      control.release(seat);
      screen.touched();
      Said.send(request, Said.DONE);
    } else if (control.take(seat, screen.running())) {
      screen.touched();
      Said.send(request, Said.DONE);
    } else {
      Said.send(request, Said.refused("somebody else drives this run"));
    }
  }

  void start(Context request) {
    String seat = seats.driver(request);
    Order wanted = Said.body(request, Order.class);
    if (!control.isFreeFor(seat, screen.running())) {
      Said.send(request, Said.refused("somebody else drives this bench"));
      return;
    }
    Station.Started started;
    try {
      started =
          station.start(
              new Station.Order(
                  orEmpty(wanted.plan),
                  orEmpty(wanted.unit).strip(),
                  orEmpty(wanted.batch).strip(),
                  wanted.again,
                  opening(wanted.opening),
                  Papers.entered(wanted.papers)));
    } catch (IllegalArgumentException e) {
      started = Station.Started.refused(String.valueOf(e.getMessage()));
    }
    if (started.begun()) { // one that is refused leaves the controls with whoever has them
      control.take(seat, false);
      screen.touched();
    }
    Said.send(
        request,
        new Said(
            started.begun(),
            started.refused(),
            Said.texts(started.problems()),
            started.passed(),
            started.locked()));
  }

  /** What is to be run, as the page says it. */
  record Order(
      @Nullable String plan,
      @Nullable String unit,
      @Nullable String batch,
      boolean again,
      @Nullable Opening opening,
      @Nullable Papers papers) {}

  /** Who opens the station's lock, and why, as the page says it. */
  record Opening(@Nullable String name, @Nullable String reason) {}

  private static Station.@Nullable Opening opening(@Nullable Opening said) {
    if (said == null) {
      return null;
    }
    String name = printable(orEmpty(said.name)).strip();
    String reason = printable(orEmpty(said.reason)).strip();
    if (name.isEmpty() || reason.isEmpty()) {
      throw new IllegalArgumentException(
          "found no "
              + (name.isEmpty() ? "name" : "reason")
              + "; expected who opens the lock and why");
    }
    return new Station.Opening(name, reason);
  }

  static String orEmpty(@Nullable String text) {
    return text == null ? "" : text;
  }

  /**
   * A stop.
   *
   * @param watch whether the watch over the discharge is to be ended as well
   */
  record Stop(boolean watch) {}

  void stop(Context request) {
    String seat = seats.speaker(request);
    boolean watch = Said.body(request, Stop.class).watch();
    if (!screen.running()) {
      Said.send(request, Said.refused("nothing is running"));
      return;
    }
    boolean drives = control.isHeldBy(seat) && seats.isHere(request);
    boolean endsWatch = watch && screen.onlyDischargeLeft();
    if (endsWatch && !drives) {
      Said.send(
          request, Said.refused("only who drives the run may end the watch over the discharge"));
      return;
    }
    // What the screen knows may lag behind the run, which decides by itself what a stop finds.
    screen.stopping();
    StopEffect effect =
        endsWatch
            ? station.stop(BY_OPERATOR + ", the watch over the discharge too", StopReach.WATCH_TOO)
            : station.stop(drives ? BY_OPERATOR : BY_WATCHER, StopReach.STEPS);
    Said.send(request, said(effect));
  }

  private static Said said(StopEffect effect) {
    return switch (effect) {
      case NOTHING_BEGUN, STEPS_ENDED, WATCH_ENDED -> Said.DONE;
      case WATCH_GOES_ON -> Said.refused("mains is off already; the discharge is being watched");
      case TOO_LATE -> Said.refused("the run is over already");
    };
  }

  /**
   * An answer to a question.
   *
   * @param number the question that is meant
   * @param declined whether it cannot or shall not be done
   * @param text the value, or why it is declined
   */
  record Given(long number, boolean declined, @Nullable String text) {}

  void answer(Context request) {
    String seat = seats.driver(request);
    Given given = Said.body(request, Given.class);
    if (!control.isHeldBy(seat)) {
      Said.send(request, Said.refused("somebody else drives this run"));
      return;
    }
    Desk desk = screen.desk();
    Optional<Desk.Standing> standing =
        desk.standing().filter(asked -> asked.number() == given.number);
    if (standing.isEmpty()) {
      Said.send(request, Said.refused("the question does not stand any more"));
      return;
    }
    String text = orEmpty(given.text).strip();
    try {
      Answer answer =
          given.declined
              ? new Answer.Declined(printable(text))
              : Typed.answer(standing.get().question(), text);
      Optional<String> refusal = desk.answer(given.number, answer);
      Said.send(request, refusal.map(Said::refused).orElse(Said.DONE));
    } catch (IllegalArgumentException e) {
      Said.send(request, Said.refused(String.valueOf(e.getMessage())));
    }
  }

  /** Words reach terminals and records. */
  static String printable(String text) {
    return text.replaceAll("\\p{Cntrl}", " ");
  }
}
