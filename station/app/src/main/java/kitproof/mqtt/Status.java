package kitproof.mqtt;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.journal.EventCodec;
import kitproof.journal.RunRecord;
import kitproof.limit.Judgement;
import kitproof.value.Quantity;
import org.jspecify.annotations.Nullable;

/**
 * What the station is doing now: only of the moment, so the last one counts and none is kept. It
 * says all that a reader who comes in the middle of a run needs to show the run so far.
 *
 * @param time of what it says, or null before the first run
 * @param start of the run going on, or null if there is none
 * @param started when that was
 * @param index of the step going on, or -1 before the first
 * @param last the latest judgement of the run, or null before the first
 * @param opening whether the unit that stands there may be opened, or null if its last run has not
 *     applied mains; it outlives the run, and the start of the next one too unless it is a yes
 * @param calibration how the bench of the run going on stands to its calibration, or null if that
 *     was not told
 */
record Status(
    @Nullable Instant time,
    Event.@Nullable RunStarted start,
    @Nullable Instant started,
    int index,
    Event.@Nullable ResultJudged last,
    @Nullable Opening opening,
    Event.@Nullable CalibrationTold calibration) {
  /** Longer than anybody asks for a station that never came back. */
  static final Duration WILL_KEPT = Duration.ofDays(3650);

  static final Status IDLE = new Status(null, null, null, -1, null, null, null);

  /** Whether a unit may be opened, and why. */
  record Opening(String unit, SafeToOpen safeToOpen, String reason) {
    /** The same with what the rail holds now; what is known to be safe, or not known, stays so. */
    private Opening holding(Quantity rail) {
      return safeToOpen == SafeToOpen.NO
          ? new Opening(unit, safeToOpen, "mains is off; the HV rail holds " + rail.display())
          : this;
    }

    /** What of it still holds when a run of this unit begins: a yes only until it stands there. */
    private @Nullable Opening before(String next) {
      if (safeToOpen == SafeToOpen.YES) {
        return null;
      }
      String named = unit + ": ";
      return unit.isEmpty() || unit.equals(next) || reason.startsWith(named)
          ? this
          : new Opening(unit, safeToOpen, named + reason);
    }
  }

  /** What a station says that starts again after this run, its last. */
  static Status after(RunRecord run) {
    return after(List.of(run));
  }

  /**
   * What a station says that starts again after these runs.
   *
   * @param runs its last ones, in order
   */
  static Status after(List<RunRecord> runs) {
    Status status = IDLE;
    for (RunRecord run : runs) {
      for (Entry entry : run.events()) {
        status = status.after(entry).orElse(status);
      }
    }
    return new Status(null, null, null, -1, null, status.opening, null);
  }

  /** The status after an entry of a run that is going on; empty if it says nothing new. */
  Optional<Status> after(Entry entry) {
    Event event = entry.event();
    Instant now = entry.time();
    if (event instanceof Event.RunStarted begun) {
      Opening still = opening == null ? null : opening.before(begun.unit());
      return Optional.of(new Status(now, begun, now, -1, null, still, null));
    }
    if (event instanceof Event.StepStarted step) {
      return Optional.of(new Status(now, start, started, step.index(), last, opening, calibration));
    }
    if (event instanceof Event.ResultJudged judged) {
      boolean says = judged.judgement().outcome() != Judgement.Outcome.NOT_JUDGED;
      Event.ResultJudged latest = says ? judged : last;
      return Optional.of(new Status(now, start, started, index, latest, opening, calibration));
    }
    if (event instanceof Event.OpeningTold told) {
      Opening changed =
          new Opening(start == null ? "" : start.unit(), told.safeToOpen(), told.reason());
      return Optional.of(new Status(now, start, started, index, last, changed, calibration));
    }
    if (event instanceof Event.CalibrationTold told) {
      return Optional.of(new Status(now, start, started, index, last, opening, told));
    }
    if (event instanceof Event.RailRead read) {
      Opening holds = opening == null ? null : opening.holding(read.rail());
      return Optional.of(new Status(now, start, started, index, last, holds, calibration));
    }
    return event instanceof Event.RunEnded
        ? Optional.of(new Status(now, null, null, -1, null, opening, null))
        : Optional.empty();
  }

  /**
   * The retained message.
   *
   * @param id of this telling
   */
  Message message(Station station, Outlook outlook, String id) {
    ObjectNode json = json(station, id, start == null ? "online" : "running");
    if (time != null) {
      json.put("time", time.toString());
    }
    int planned = start == null ? outlook.planned() : outlook.planned(start.batch());
    if (planned > 0) {
      json.put("planned", planned);
    }
    if (outlook.simulated()) {
      json.put("simulated", true);
    }
    if (outlook.pace() != 1 && outlook.pace() != Outlook.MEASURED) {
      json.put("pace", outlook.pace());
    }
    if (start != null) {
      running(json, start);
    }
    put(json, opening);
    return retained(station, id, json);
  }

  /** Bench seconds that have passed since the run began. */
  double benchSeconds() {
    return time == null || started == null ? 0 : Duration.between(started, time).toMillis() / 1e3;
  }

  static void put(ObjectNode json, @Nullable Opening opening) {
    if (opening != null) {
      json.putObject("opening")
          .put("unit", opening.unit)
          .put("safeToOpen", opening.safeToOpen.toString())
          .put("reason", opening.reason);
    }
  }

  static void put(ObjectNode json, Event.CalibrationTold calibration) {
    json.put("calibrated", calibration.calibrated()).put("calibration", calibration.told());
  }

  private void running(ObjectNode json, Event.RunStarted run) {
    List<Event.PlannedStep> steps = run.steps();
    json.put("run", run.run()).put("product", run.product()).put("unit", run.unit());
    json.put("revision", run.revision()).put("batch", run.batch()).put("plan", run.plan());
    json.put("started", String.valueOf(started)).put("steps", steps.size());
    json.put("expected", seconds(steps));
    if (index >= 0 && index < steps.size()) {
      json.put("index", index).put("step", steps.get(index).step());
      json.set("conditions", EventCodec.tree(steps.get(index)).path("conditions"));
      json.put("behind", seconds(steps.subList(0, index)));
    }
    if (calibration != null) {
      put(json, calibration);
    }
    if (last != null) {
      ObjectNode judged = json.putObject("last");
      judged.put("title", last.measurement().title());
      judged.put("outcome", last.judgement().outcome().toString());
      judged.put("detail", last.judgement().detail());
    }
  }

  /** Bench time that steps should take. */
  private static double seconds(List<Event.PlannedStep> steps) {
    return steps.stream()
            .map(Event.PlannedStep::expected)
            .reduce(Duration.ZERO, Duration::plus)
            .toMillis()
        / 1e3;
  }

  /**
   * What is told when the station goes by itself.
   *
   * @param at when that is, by the calendar
   */
  Message offline(Station station, String id, Instant at) {
    ObjectNode json = json(station, id, "offline").put("time", at.toString());
    put(json, opening);
    return retained(station, id, json);
  }

  /**
   * What the broker tells when the station is gone without a word: what it left is not known. It is
   * kept for {@link #WILL_KEPT}; what is left of that says since when the broker tells it.
   */
  static Message lastWill(Station station, String id) {
    ObjectNode json = json(station, id, "offline");
    put(
        json,
        new Opening(
            "",
            SafeToOpen.UNKNOWN,
            "the station is gone without a word: treat what stands on it as live"));
    return new Message(
        Topics.status(station.shop(), station.name()), id, json.toString(), true, WILL_KEPT);
  }

  private static ObjectNode json(Station station, String id, String state) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    json.put("schema", Messages.SCHEMA).put("id", id);
    json.put("shop", station.shop()).put("station", station.name());
    return json.put("state", state);
  }

  private static Message retained(Station station, String id, ObjectNode json) {
    return new Message(Topics.status(station.shop(), station.name()), id, json.toString(), true);
  }
}
