package kitproof.console;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.limit.Judgement;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/** Tells a run's events in lines for people; pure but for what it remembers of the run so far. */
final class RunLines {
  private final Words words;
  private int steps;
  private int results;
  private int passed;

  RunLines(Words words) {
    this.words = words;
  }

  /** The lines for the next event; none for most. */
  List<String> of(Entry entry) {
    Event event = entry.event();
    if (event instanceof Event.RunStarted e) {
      return started(e);
    } else if (event instanceof Event.BenchOpened e) {
      return opened(e);
    } else if (event instanceof Event.StepStarted e) {
      return List.of(
          String.format(
              Locale.ROOT,
              "%3d/%d  %s",
              e.index() + 1,
              steps,
              words.strong(title(e.step(), e.conditions().toString()))));
    } else if (event instanceof Event.ResultJudged e) {
      return List.of(result(e.measurement(), e.judgement()));
    } else if (event instanceof Event.StepFinished e) {
      return finished(e);
    } else if (event instanceof Event.SafeState e) {
      return safe(e);
    } else if (event instanceof Event.Notice e) {
      return List.of("        " + words.warn("note: " + e.text()));
    } else if (event instanceof Event.RunEnded e) {
      return ended(e);
    }
    throw new IllegalStateException("an event that the console does not know: " + event);
  }

  private List<String> started(Event.RunStarted e) {
    steps = e.steps().size();
    return List.of(
        words.strong("unit " + e.unit())
            + ", "
            + e.product()
            + " revision "
            + e.revision()
            + (e.batch().isEmpty() ? "" : ", batch " + e.batch())
            + ", plan \""
            + e.plan()
            + "\", "
            + steps
            + " steps");
  }

  private static List<String> opened(Event.BenchOpened e) {
    List<String> lines = new ArrayList<>();
    e.instruments().entrySet().stream()
        .sorted(java.util.Map.Entry.comparingByKey())
        .forEach(
            i ->
                lines.add(
                    String.format(Locale.ROOT, "        %-14s %s", i.getKey(), i.getValue())));
    return lines;
  }

  private String result(Measurement measurement, Judgement judgement) {
    results++;
    if (judgement.outcome() == Judgement.Outcome.PASS) {
      passed++;
    }
    String figure;
    if (measurement.figure() instanceof Figure.OfQuantity q) {
      figure = q.quantity().display();
    } else if (measurement.figure() instanceof Figure.OfCurve c) {
      figure = c.curve().size() + " points";
    } else {
      figure = "invalid: " + ((Figure.Invalid) measurement.figure()).reason();
    }
    return String.format(
        Locale.ROOT,
        "        %-28s %-14s %s%s",
        measurement.name(),
        figure,
        words.judged(judgement.outcome()),
        judgement.detail().isEmpty() ? "" : "  " + judgement.detail());
  }

  private List<String> finished(Event.StepFinished e) {
    return switch (e.outcome()) {
      case PASSED, FAILED ->
          e.reason().isEmpty() ? List.of() : List.of("        " + words.warn(e.reason()));
      case ERROR, ABORTED -> List.of("        " + words.bad(e.outcome() + ": " + e.reason()));
      case SKIPPED -> List.of();
    };
  }

  private List<String> safe(Event.SafeState e) {
    if (e.confirmed()) {
      return List.of("        safe state read back (" + e.cause() + ")");
    }
    return List.of(
        "        " + words.bad("SAFE STATE NOT CONFIRMED: " + e.detail()),
        "        "
            + words.bad("Use the bench's emergency stop. Treat the unit as live; do not open it."));
  }

  private List<String> ended(Event.RunEnded e) {
    List<String> lines = new ArrayList<>();
    lines.add("        " + results + " results, " + passed + " judged and passed");
    if (!e.failed().isEmpty()) {
      lines.add("        failed: " + String.join("; ", e.failed()));
    }
    if (!e.reason().isEmpty()) {
      lines.add("        " + e.reason());
    }
    return lines;
  }

  static String title(String step, String conditions) {
    return conditions.isEmpty() ? step : step + " (" + conditions + ")";
  }

  /** "1:05" for 65 s. */
  static String clock(Duration duration) {
    long seconds = Math.max(0, duration.toSeconds());
    return String.format(Locale.ROOT, "%d:%02d", seconds / 60, seconds % 60);
  }
}
