package kitproof.screen;

import java.time.Instant;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.function.Function;
import kitproof.calibration.Standing;
import kitproof.cause.Found;
import kitproof.cause.Suggestion;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.Progress;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.limit.Judgement.Outcome;
import kitproof.report.PlusMinus;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import org.jspecify.annotations.Nullable;

/** What the screen remembers of a run: the fold of its entries. Not safe for several threads. */
final class RunFold {
  private static final int LATEST = 8;
  private static final int MOST_FAILURES = 40;
  private static final int MOST_NOTICES = 40;

  private final Function<List<Found>, List<Suggestion>> causes;
  private final Progress progress = new Progress();
  private final Deque<RunView.ResultView> latest = new ArrayDeque<>();
  private final List<RunView.ResultView> failures = new ArrayList<>();
  private final List<String> notices = new ArrayList<>();
  private final List<Found> found = new ArrayList<>();
  private Event.@Nullable RunStarted start;
  private Event.@Nullable StepStarted step;
  private Event.@Nullable RunEnded end;
  private @Nullable Instant ended;
  private Instant began = Instant.EPOCH;
  private List<Suggestion> suggestions = List.of();
  private ScreenView.OpeningView opening =
      new ScreenView.OpeningView("no", "the HV rail has not been measured in this run yet");
  private boolean uncalibrated;
  private boolean calibrates;
  private int attempt = 1;
  private int passed;
  private int failed;
  private int others;

  /**
   * Of a run that has not begun.
   *
   * @param causes what a failure usually means, asked at the end
   */
  RunFold(Function<List<Found>, List<Suggestion>> causes) {
    this.causes = causes;
  }

  void add(Entry entry) {
    progress.note(entry);
    Event event = entry.event();
    if (event instanceof Event.RunStarted e) {
      start = e;
      began = entry.time();
    } else if (event instanceof Event.Retest e) {
      attempt = e.attempt();
      notice("Attempt " + e.attempt() + ": run " + e.before() + " ended as " + e.verdict());
    } else if (event instanceof Event.StepStarted e) {
      step = e;
    } else if (event instanceof Event.ResultJudged e) {
      add(e.measurement(), e.judgement());
    } else if (event instanceof Event.StepFinished e) {
      if (!e.reason().isEmpty()) {
        notice(e.step() + ": " + e.reason());
      }
    } else if (event instanceof Event.SafeState e) {
      if (!e.confirmed()) {
        notice(
            "SAFE STATE NOT CONFIRMED: "
                + e.detail()
                + ". Use the bench's emergency stop. Treat the unit as live; do not open it.");
      }
    } else if (event instanceof Event.InterlockTripped e) {
      notice("Interlock \"" + e.interlock() + "\" took the mains away: " + e.reason());
    } else if (event instanceof Event.OpeningTold e) {
      opening = new ScreenView.OpeningView(e.safeToOpen().toString(), e.reason());
    } else if (event instanceof Event.CalibrationTold e) {
      uncalibrated = !e.calibrated();
      calibrates = Standing.isMaking(e.told());
    } else if (event instanceof Event.Notice e) {
      notice(e.text());
    } else if (event instanceof Event.RunEnded e) {
      end = e;
      ended = entry.time();
      suggestions = e.verdict() == Verdict.PASS ? List.of() : causes.apply(List.copyOf(found));
    }
  }

  /** The run broke off without an end that could be recorded. */
  void brokeOff() {
    if (end == null && !opening.word().equals(SafeToOpen.YES.toString())) {
      opening =
          new ScreenView.OpeningView(
              SafeToOpen.UNKNOWN.toString(), "the run was not recorded to its end");
    }
  }

  private void notice(String text) {
    if (notices.size() < MOST_NOTICES && !notices.contains(text)) {
      notices.add(text);
    }
  }

  private void add(Measurement measurement, Judgement judgement) {
    found.add(new Found(measurement, judgement));
    RunView.ResultView view =
        new RunView.ResultView(
            measurement.title(),
            step == null ? "" : step.step(),
            value(measurement.figure()),
            PlusMinus.withFactor(measurement),
            judgement.outcome() == Outcome.PASS ? judgement.detail() : "",
            judgement.outcome().toString(),
            judgement.outcome() == Outcome.PASS ? "" : judgement.detail());
    switch (judgement.outcome()) {
      case PASS -> passed++;
      case FAIL, GUARD_BAND -> {
        failed++;
        if (failures.size() < MOST_FAILURES) {
          failures.add(view);
        }
      }
      case NOT_JUDGED -> {
        others++;
        return;
      }
    }
    latest.addFirst(view);
    if (latest.size() > LATEST) {
      latest.removeLast();
    }
  }

  private static String value(Figure figure) {
    if (figure instanceof Figure.OfQuantity one) {
      return one.quantity().display();
    }
    return figure instanceof Figure.OfCurve curve ? curve.curve().size() + " points" : "invalid";
  }

  ScreenView.OpeningView opening() {
    return opening;
  }

  /** The step in progress, from 0; -1 if there is none. */
  int current() {
    return progress.current();
  }

  /** Whether its end has been recorded. */
  boolean over() {
    return end != null;
  }

  /**
   * For a page; null before the run has said what it is.
   *
   * @param stopping whether it has been asked to stop
   * @param discharging whether the step in progress watches the discharge
   */
  @Nullable RunView view(
      Instant now,
      boolean stopping,
      boolean discharging,
      List<RunView.LiveView> live,
      RunView.@Nullable QuestionView question) {
    Event.RunStarted run = start;
    if (run == null) {
      return null;
    }
    Event.RunEnded over = end;
    return new RunView(
        run.run(),
        run.unit(),
        run.batch(),
        run.product(),
        run.revision(),
        run.plan(),
        attempt,
        began.toEpochMilli(),
        ended == null ? null : ended.toEpochMilli(),
        progress.current(),
        progress.steps(),
        step == null || progress.current() < 0 ? "" : step.step(),
        step == null ? "" : step.conditions().toString(),
        over == null ? progress.share() : 1,
        Math.max(0, progress.left(now).toMillis() / 1e3),
        stopping,
        discharging,
        live,
        question,
        passed,
        failed,
        others,
        List.copyOf(latest),
        List.copyOf(failures),
        List.copyOf(notices),
        uncalibrated,
        calibrates,
        over == null ? null : over.verdict().toString(),
        over == null ? "" : over.reason(),
        suggestions);
  }
}
