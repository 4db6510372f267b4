package kitproof.mqtt;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Duration;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.EventCodec;
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
 * @param opening what was last told of whether the unit on the bench may be opened; null if nothing
 */
record Status(
    @Nullable Instant time,
    Event.@Nullable RunStarted start,
    @Nullable Instant started,
    int index,
    Event.@Nullable ResultJudged last,
    Event.@Nullable OpeningTold opening) {
  static final Status IDLE = new Status(null, null, null, -1, null, null);

  /** The status after an entry of a run that is going on; empty if it says nothing new. */
  Optional<Status> after(Entry entry) {
    Event event = entry.event();
    Instant now = entry.time();
    if (event instanceof Event.RunStarted begun) {
      return Optional.of(new Status(now, begun, now, -1, null, null));
    }
    if (event instanceof Event.StepStarted step) {
      return Optional.of(new Status(now, start, started, step.index(), last, opening));
    }
    if (event instanceof Event.ResultJudged judged) {
      return Optional.of(new Status(now, start, started, index, judged, opening));
    }
    if (event instanceof Event.OpeningTold told) {
      return Optional.of(new Status(now, start, started, index, last, told));
    }
    return event instanceof Event.RunEnded
        ? Optional.of(new Status(now, null, null, -1, null, opening))
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
    if (outlook.planned() > 0) {
      json.put("planned", outlook.planned());
    }
    if (outlook.pace() != 1) {
      json.put("pace", outlook.pace());
    }
    if (opening != null) {
      json.set("opening", opening(opening));
    }
    if (start != null) {
      running(json, start);
    }
    return retained(station, id, json);
  }

  /** Whether the unit may be opened, and what that rests on. */
  static ObjectNode opening(Event.OpeningTold told) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    return json.put("safe", told.safeToOpen().toString()).put("reason", told.reason());
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

  /** What is told when the station goes, by itself or by its last will. */
  static Message offline(Station station, String id) {
    return retained(station, id, json(station, id, "offline"));
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
