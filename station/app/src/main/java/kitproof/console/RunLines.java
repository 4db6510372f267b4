package kitproof.console;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.StepOutcome;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.limit.Judgement.Outcome;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/**
 * Tells a run's events in lines for people; pure but for what it remembers of the run so far.
 *
 * <p>A judged result has a line of its own that begins with the judgement, and its note below. What
 * has no limit is gathered into one sentence at the end of its step, so that it does not hide what
 * was judged; its notes are in the record.
 */
final class RunLines {
  private static final String INDENT = "        ";
  private static final int WIDTH = 100;
  private static final String CHANNEL = "channel";
  private static final int FAILED_SHOWN = 12;

  private final Words words;
  private final String label;
  private final List<String> unjudged = new ArrayList<>();
  private String channel = "";
  private int steps;
  private int passed;
  private int failed;
  private int others;

  RunLines(Words words) {
    this(words, "");
  }

  /**
   * For somebody who is not to see what the unit is and what it measures.
   *
   * @param label what the unit is called; empty if nothing is hidden
   */
  RunLines(Words words, String label) {
    this.words = words;
    this.label = label;
  }

  /** The lines for the next event; none for some. */
  List<String> of(Entry entry) {
    Event event = entry.event();
    if (!label.isEmpty() && event instanceof Event.RunEnded end) {
      boolean whole = end.verdict() == Verdict.PASS || end.verdict() == Verdict.FAIL;
      return whole ? List.of() : List.of(INDENT + words.bad(end.verdict() + ": " + end.reason()));
    }
    return label.isEmpty() || !tellsTheUnit(event) ? told(entry) : List.of();
  }

  /** What a blind study hides; what has to do with safety never is. */
  private static boolean tellsTheUnit(Event event) {
    return event instanceof Event.ResultJudged
        || (event instanceof Event.StepFinished step
            && (step.outcome() == StepOutcome.PASSED || step.outcome() == StepOutcome.FAILED));
  }

  private List<String> told(Entry entry) {
    Event event = entry.event();
    if (event instanceof Event.RunStarted e) {
      return started(e);
    } else if (event instanceof Event.BenchOpened e) {
      return opened(e);
    } else if (event instanceof Event.StepStarted e) {
      channel = e.conditions().values().getOrDefault(CHANNEL, "");
      return List.of(
          String.format(
              Locale.ROOT,
              "%3d/%d  %s",
              e.index() + 1,
              steps,
              words.strong(title(e.step(), e.conditions().toString()))));
    } else if (event instanceof Event.ResultJudged e) {
      return result(e.measurement(), e.judgement());
    } else if (event instanceof Event.StepFinished e) {
      return finished(e);
    } else if (event instanceof Event.SafeState e) {
      return safe(e);
    } else if (event instanceof Event.InterlockTripped e) {
      return tripped(e);
    } else if (event instanceof Event.OpeningTold e) {
      return opening(e);
    } else if (event instanceof Event.RailRead) {
      return List.of(); // the status line shows it
    } else if (event instanceof Event.ResultsLeftOut) {
      return List.of(); // the step's end tells why
    } else if (event instanceof Event.CalibrationTold) {
      return List.of(); // the operator is told by notices
    } else if (event instanceof Event.Retest e) {
      return List.of(
          INDENT
              + words.warn(
                  "attempt " + e.attempt() + ": run " + e.before() + " ended as " + e.verdict()));
    } else if (event instanceof Event.GaugeTrial e) {
      return List.of(
          INDENT
              + words.faint(
                  "gauge study "
                      + e.study()
                      + ": trial "
                      + e.number()
                      + " of "
                      + e.of()
                      + ", "
                      + e.appraiser()
                      + ", repeat "
                      + e.repeat()));
    } else if (event instanceof Event.OperatorAnswered e) {
      return List.of(INDENT + "operator: " + e.answer() + words.faint("  (" + e.question() + ")"));
    } else if (event instanceof Event.Notice e) {
      return List.of(INDENT + words.warn("note: " + e.text()));
    } else if (event instanceof Event.RunEnded e) {
      return ended(e);
    }
    throw new IllegalStateException("an event that the console does not know: " + event);
  }

  private List<String> started(Event.RunStarted e) {
    steps = e.steps().size();
    return List.of(
        words.strong("unit " + (label.isEmpty() ? e.unit() : label))
            + ", "
            + e.product()
            + " revision "
            + e.revision()
            + (e.batch().isEmpty() ? "" : ", batch " + e.batch())
            + ": "
            + e.plan()
            + ", "
            + steps
            + (steps == 1 ? " step" : " steps"));
  }

  private static List<String> opened(Event.BenchOpened e) {
    int widest = e.instruments().keySet().stream().mapToInt(String::length).max().orElse(1);
    return e.instruments().entrySet().stream()
        .sorted(Map.Entry.comparingByKey())
        .map(i -> INDENT + padded(i.getKey(), widest) + "  " + i.getValue())
        .toList();
  }

  private List<String> result(Measurement measurement, Judgement judgement) {
    switch (judgement.outcome()) {
      case PASS -> passed++;
      case FAIL, GUARD_BAND -> failed++;
      case NOT_JUDGED -> others++;
    }
    String name = name(measurement);
    if (measurement.figure() instanceof Figure.Invalid bad) {
      return List.of(row(judgement.outcome(), name, "invalid", bad.reason()));
    }
    List<String> lines = new ArrayList<>();
    String figure = figure(measurement.figure());
    if (judgement.outcome() == Outcome.NOT_JUDGED) {
      unjudged.add(name + " " + figure);
    } else {
      lines.add(row(judgement.outcome(), name, figure, said(judgement, figure)));
      if (judgement.guard() != null) {
        lines.add(INDENT + "  " + words.faint(guarded(judgement.guard(), judgement.outcome())));
      }
      if (!measurement.note().isEmpty()) {
        lines.add(INDENT + "  " + words.warn("note: " + measurement.note()));
      }
    }
    return lines;
  }

  /** Of a step for both channels each result says whose it is, a noise how it was weighted. */
  private String name(Measurement measurement) {
    String own = measurement.conditions().values().getOrDefault(CHANNEL, channel);
    String name = measurement.name() + weighted(measurement);
    return own.equals(channel) ? name : own + " " + name;
  }

  /** Results of one step that differ in nothing else. */
  private static String weighted(Measurement measurement) {
    String weighting = measurement.conditions().values().get("weighting");
    if (weighting == null) {
      return "";
    }
    return switch (weighting) {
      case "none" -> ", unweighted";
      case "A" -> ", A-weighted";
      case "C" -> ", C-weighted";
      default -> ", " + weighting;
    };
  }

  private static String said(Judgement judgement, String figure) {
    // The figure stands beside it already.
    String said = judgement.detail();
    String again = figure + " is ";
    return said.startsWith(again) ? said.substring(again.length()) : said;
  }

  /** With the risk of what was done: to have accepted what is bad, or rejected what is good. */
  private static String guarded(Judgement.Guard guard, Outcome outcome) {
    boolean rejected = outcome.fails();
    return String.format(
        Locale.ROOT,
        "guarded: conforms with a probability of %.2f %%; %s risk %.2f %%",
        100 * guard.conformance(),
        rejected ? "producer's" : "consumer's",
        100 * (rejected ? guard.falseReject() : guard.falseAccept()));
  }

  private String row(Outcome outcome, String name, String figure, String said) {
    return String.format(
        Locale.ROOT, "%s%s %-28s %10s   %s", INDENT, words.judged(outcome), name, figure, said);
  }

  private static String figure(Figure figure) {
    if (figure instanceof Figure.OfQuantity one) {
      return one.quantity().display();
    }
    return ((Figure.OfCurve) figure).curve().size() + " points";
  }

  private List<String> finished(Event.StepFinished e) {
    List<String> lines = new ArrayList<>();
    if (!unjudged.isEmpty()) {
      wrapped("not judged: " + String.join(", ", unjudged)).forEach(l -> lines.add(words.faint(l)));
      unjudged.clear();
    }
    switch (e.outcome()) {
      case PASSED, FAILED -> {
        if (!e.reason().isEmpty()) {
          lines.add(INDENT + words.warn(e.reason()));
        }
      }
      case ERROR, ABORTED -> lines.add(INDENT + words.bad(e.outcome() + ": " + e.reason()));
      case SKIPPED -> {
        if (!e.reason().isEmpty()) {
          lines.add(INDENT + words.warn("left out: " + e.reason()));
        }
      }
    }
    return lines;
  }

  private static List<String> wrapped(String text) {
    List<String> lines = new ArrayList<>();
    StringBuilder line = new StringBuilder(INDENT);
    for (String part : text.split("(?<=,) ")) {
      if (line.length() > INDENT.length() && line.length() + part.length() > WIDTH) {
        lines.add(line.toString().stripTrailing());
        line = new StringBuilder(INDENT + "  ");
      }
      line.append(part).append(' ');
    }
    lines.add(line.toString().stripTrailing());
    return lines;
  }

  private List<String> safe(Event.SafeState e) {
    if (e.confirmed()) {
      return List.of(INDENT + "safe state read back (" + e.cause() + ")");
    }
    return List.of(
        INDENT + words.bad("SAFE STATE NOT CONFIRMED: " + e.detail()),
        INDENT
            + words.bad("Use the bench's emergency stop. Treat the unit as live; do not open it."));
  }

  private List<String> tripped(Event.InterlockTripped e) {
    return List.of(
        INDENT
            + words.bad("INTERLOCK \"" + e.interlock() + "\": " + e.reason())
            + ", mains off after "
            + e.reaction().toMillis()
            + " ms");
  }

  private List<String> opening(Event.OpeningTold e) {
    return List.of(
        INDENT
            + switch (e.safeToOpen()) {
              case YES -> words.strong("safe to open: " + e.reason());
              case NO -> words.warn("do not open the unit: " + e.reason());
              case UNKNOWN -> words.bad("not known to be safe to open: treat as live");
            });
  }

  private List<String> ended(Event.RunEnded e) {
    List<String> lines = new ArrayList<>();
    lines.add(
        INDENT
            + "results: "
            + passed
            + " passed, "
            + failed
            + " failed, "
            + others
            + " not judged");
    e.failed().stream().limit(FAILED_SHOWN).forEach(f -> lines.add(INDENT + "failed: " + f));
    if (e.failed().size() > FAILED_SHOWN) {
      lines.add(INDENT + "and " + (e.failed().size() - FAILED_SHOWN) + " more");
    }
    // Of a failed unit the reason is the first of these.
    if (!e.reason().isEmpty() && e.verdict() != Verdict.FAIL) {
      lines.add(INDENT + words.bad(e.verdict() + ": " + e.reason()));
    }
    return lines;
  }

  private static String padded(String text, int width) {
    return text + " ".repeat(width - text.length());
  }

  private static String title(String step, String conditions) {
    return conditions.isEmpty() ? step : step + " (" + conditions + ")";
  }
}
