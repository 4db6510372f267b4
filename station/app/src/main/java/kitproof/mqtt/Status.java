package kitproof.mqtt;

import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Optional;
import kitproof.event.Entry;
import kitproof.event.Event;
import org.jspecify.annotations.Nullable;

/**
 * What the station is doing now: only of the moment, so the last one counts and none is kept.
 *
 * @param start of the run going on, or null if there is none
 * @param index of the step going on, or -1 before the first
 */
record Status(Event.@Nullable RunStarted start, int index) {
  static final Status IDLE = new Status(null, -1);

  /** The status after an entry of a run that is going on; empty if it says nothing new. */
  Optional<Status> after(Entry entry) {
    Event event = entry.event();
    if (event instanceof Event.RunStarted begun) {
      return Optional.of(new Status(begun, -1));
    }
    if (event instanceof Event.StepStarted step) {
      return Optional.of(new Status(start, step.index()));
    }
    return event instanceof Event.RunEnded ? Optional.of(IDLE) : Optional.empty();
  }

  /**
   * The retained message.
   *
   * @param id of this telling
   */
  Message message(Station station, String id) {
    ObjectNode json = json(station, id, start == null ? "online" : "running");
    if (start != null) {
      json.put("run", start.run()).put("product", start.product()).put("unit", start.unit());
      json.put("steps", start.steps().size());
      if (index >= 0 && index < start.steps().size()) {
        json.put("index", index).put("step", start.steps().get(index).step());
      }
    }
    return retained(station, id, json);
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
