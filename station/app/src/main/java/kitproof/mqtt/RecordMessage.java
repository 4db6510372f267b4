package kitproof.mqtt;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.EventCodec;
import kitproof.journal.RunRecord;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Uncertainty;
import org.jspecify.annotations.Nullable;

/**
 * A run that has ended, whole but in brief, as a retained message: a reader that starts later finds
 * each result with its judgement. Pure.
 *
 * <p>Curves are rounded and thinned, the more the larger the message would be; {@code points}
 * beside a result says how many its curve has in the station's record. Should even that not fit,
 * the last results are left out and {@code missing} says how many.
 *
 * <p>Brokers forget it after {@link #KEPT}; the station's record is kept for ever.
 */
public final class RecordMessage {
  /**
   * Brokers are often bound to less than a mebibyte a message; the five hundred results of the
   * Linnet plan with all their curves need three hundred thousand.
   */
  static final int MOST_BYTES = 400 * 1024;

  /** Longer than a batch is watched, short enough that a broker does not fill up. */
  static final Duration KEPT = Duration.ofDays(90);

  private static final int[] MOST_POINTS = {128, 64, 32, 16};

  private RecordMessage() {}

  /**
   * What the record itself does not say.
   *
   * @param planned units in the batch; 0 if nobody has said
   * @param finished when it ended by the calendar, if the bench's time is another; else null
   * @param check whether the station measured its check standard, to know itself
   */
  public record Beside(int planned, @Nullable Instant finished, boolean check) {}

  /**
   * The run's verdict alone: the same message up to its results, so that a reader who starts among
   * thousands of runs has all verdicts long before it has all results.
   *
   * @param id of the run's last entry, to which {@code /verdict} is added
   * @throws IllegalArgumentException if the run has not ended
   */
  public static Message verdict(RunRecord run, String id, Beside beside) {
    ObjectNode json = head(run, id + "/verdict", ended(run), beside);
    json.put("count", run.steps().stream().mapToInt(s -> s.results().size()).sum());
    return new Message(
        Topics.verdict(run.shop(), run.product(), run.unit(), run.run()),
        id + "/verdict",
        json.toString(),
        true,
        KEPT);
  }

  /** The same of a bench whose time is the calendar's. */
  public static Message verdict(RunRecord run, String id, int planned) {
    return verdict(run, id, new Beside(planned, null, false));
  }

  /** The message of a bench whose time is the calendar's. */
  public static Message of(RunRecord run, String id, int planned) {
    return of(run, id, new Beside(planned, null, false));
  }

  /**
   * The message.
   *
   * @param id of the run's last entry, to which {@code /record} is added
   * @throws IllegalArgumentException if the run has not ended
   */
  public static Message of(RunRecord run, String id, Beside beside) {
    Instant ended = ended(run);
    String topic = Topics.record(run.shop(), run.product(), run.unit(), run.run());
    int all = run.steps().stream().mapToInt(s -> s.results().size()).sum();
    Message message = null;
    for (int most : MOST_POINTS) {
      message =
          new Message(topic, id + "/record", json(run, id, ended, beside, most, all), true, KEPT);
      if (message.bytes().length <= MOST_BYTES) {
        return message;
      }
    }
    for (int kept = all / 2; kept > 0; kept /= 2) {
      message =
          new Message(topic, id + "/record", json(run, id, ended, beside, 16, kept), true, KEPT);
      if (message.bytes().length <= MOST_BYTES) {
        return message;
      }
    }
    return new Message(topic, id + "/record", json(run, id, ended, beside, 16, 0), true, KEPT);
  }

  private static Instant ended(RunRecord run) {
    Instant ended = run.ended();
    if (run.verdict() == null || ended == null) {
      throw new IllegalArgumentException("run " + run.run() + " has not ended");
    }
    return ended;
  }

  /** All that stands before the results. */
  private static ObjectNode head(RunRecord run, String id, Instant ended, Beside beside) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    json.put("schema", Messages.SCHEMA).put("id", id).put("time", ended.toString());
    json.put("shop", run.shop()).put("station", run.station()).put("run", run.run());
    json.put("product", run.product()).put("unit", run.unit());
    json.put("revision", run.revision()).put("batch", run.batch()).put("plan", run.plan());
    if (beside.planned > 0) {
      json.put("planned", beside.planned);
    }
    if (beside.check) {
      json.put("check", true);
    }
    json.put("started", run.started().toString());
    if (beside.finished != null) {
      json.put("finished", beside.finished.toString());
    }
    json.put("verdict", String.valueOf(run.verdict())).put("reason", run.reason());
    run.failed().forEach(json.putArray("failed")::add);
    run.calibration().ifPresent(told -> Status.put(json, told));
    ArrayNode notices = json.putArray("notices");
    run.trips().forEach(trip -> notices.add("interlock: " + trip.reason()));
    run.safeStates().stream()
        .filter(state -> !state.confirmed())
        .forEach(state -> notices.add("safe state not confirmed: " + state.detail()));
    run.notices().forEach(notices::add);
    run.events().stream()
        .map(Entry::event)
        .filter(Event.OpeningTold.class::isInstance)
        .reduce((earlier, later) -> later)
        .map(Event.OpeningTold.class::cast)
        .map(told -> new Status.Opening(run.unit(), told.safeToOpen(), told.reason()))
        .ifPresent(opening -> Status.put(json, opening));
    return json;
  }

  private static String json(
      RunRecord run, String id, Instant ended, Beside beside, int mostPoints, int kept) {
    ObjectNode json = head(run, id + "/record", ended, beside);
    int all = run.steps().stream().mapToInt(s -> s.results().size()).sum();
    json.put("count", Math.min(all, kept));
    if (all > kept) {
      json.put("missing", all - kept);
    }
    // Last, so that a reader who wants the verdict only need not read on.
    ArrayNode results = json.putArray("results");
    int place = 0;
    for (RunRecord.Step step : run.steps()) {
      for (RunRecord.Result result : step.results()) {
        if (place++ < kept) {
          results.add(result(step, result, mostPoints));
        }
      }
    }
    return json.toString();
  }

  /** Budgets stand in the record; here they would be most of the message. */
  private static Measurement withoutBudget(Measurement measurement) {
    Uncertainty of = measurement.uncertainty();
    return of == null || of.size() != 1
        ? measurement
        : measurement.with(
            Uncertainty.of(of.below(0), of.above(0), of.degreesOfFreedom(0), List.of()));
  }

  private static ObjectNode result(RunRecord.Step step, RunRecord.Result result, int mostPoints) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    json.put("step", step.step());
    Measurement measurement = result.measurement();
    if (measurement.figure() instanceof Figure.OfCurve of) {
      Curve curve = of.curve();
      if (curve.size() > mostPoints) {
        json.put("points", curve.size());
        curve = Thinning.of(curve, mostPoints);
      }
      measurement = measurement.with(new Figure.OfCurve(Thinning.rounded(curve)));
    }
    json.set("measurement", EventCodec.tree(withoutBudget(measurement)));
    json.set("judgement", EventCodec.tree(result.judgement()));
    return json;
  }
}
