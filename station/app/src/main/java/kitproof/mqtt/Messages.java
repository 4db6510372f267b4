package kitproof.mqtt;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import kitproof.event.Entry;
import kitproof.event.Event;
import kitproof.journal.EventCodec;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/**
 * What an entry of a journal is on the wire. Pure.
 *
 * <p>Every entry gives one message whose id is {@link Entry#id()}, so a gap in the numbers is a
 * loss; the run's end gives a second one, the unit's verdict, with {@code /unit} after the id, and
 * so does what is told of opening the unit, with {@code /opening}. Each message is complete in
 * itself: {@code
 * {"schema":1,"id":…,"time":…,"shop":…,"station":…,"run":…,"product":…,"unit":…,"event":…,…}} and
 * then the event's own fields in the forms of the journal.
 */
public final class Messages {
  /** The version of payloads; it rises when a field changes its meaning or goes. */
  static final int SCHEMA = 1;

  /**
   * A curve with more points is thinned evenly to this many, its ends kept, so that no message
   * outgrows a broker's bounds, and {@code points} says how many there are; the record has them.
   */
  static final int MOST_POINTS = 512;

  private Messages() {}

  /**
   * The messages of one entry, in the order to be sent.
   *
   * @param start of the entry's run
   */
  public static List<Message> of(Entry entry, Event.RunStarted start) {
    Event event = entry.event();
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    json.put("schema", SCHEMA).put("id", entry.id()).put("time", entry.time().toString());
    json.put("shop", start.shop()).put("station", start.station()).put("run", start.run());
    json.put("product", start.product()).put("unit", start.unit());
    ObjectNode own = EventCodec.tree(thinned(event));
    json.set("event", own.remove("type"));
    json.setAll(own);
    if (event instanceof Event.ResultJudged result
        && result.index() >= 0
        && result.index() < start.steps().size()) {
      json.put("step", start.steps().get(result.index()).step());
    }
    if (event instanceof Event.ResultJudged result
        && result.measurement().figure() instanceof Figure.OfCurve of
        && of.curve().size() > MOST_POINTS) {
      json.put("points", of.curve().size());
    }
    List<Message> messages = new ArrayList<>();
    messages.add(new Message(topic(event, start), entry.id(), json.toString(), false));
    if (event instanceof Event.OpeningTold told) {
      messages.add(opening(entry, told, start));
    }
    if (event instanceof Event.RunEnded end) {
      messages.add(verdict(entry, end, start));
    }
    return messages;
  }

  private static String topic(Event event, Event.RunStarted start) {
    if (event instanceof Event.ResultJudged) {
      return Topics.result(start.shop(), start.station());
    }
    if (event instanceof Event.StepStarted || event instanceof Event.StepFinished) {
      return Topics.step(start.shop(), start.station());
    }
    return Topics.run(start.shop(), start.station());
  }

  private static Message opening(Entry entry, Event.OpeningTold told, Event.RunStarted start) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    String id = entry.id() + "/opening";
    json.put("schema", SCHEMA).put("id", id).put("time", entry.time().toString());
    json.put("shop", start.shop()).put("station", start.station()).put("run", start.run());
    json.put("product", start.product()).put("unit", start.unit());
    json.put("safeToOpen", told.safeToOpen().toString()).put("reason", told.reason());
    return new Message(
        Topics.opening(start.shop(), start.product(), start.unit()), id, json.toString(), true);
  }

  private static Message verdict(Entry entry, Event.RunEnded end, Event.RunStarted start) {
    ObjectNode json = JsonNodeFactory.instance.objectNode();
    String id = entry.id() + "/unit";
    json.put("schema", SCHEMA).put("id", id).put("time", entry.time().toString());
    json.put("shop", start.shop()).put("station", start.station()).put("run", start.run());
    json.put("product", start.product()).put("unit", start.unit());
    json.put("revision", start.revision()).put("batch", start.batch());
    json.put("verdict", end.verdict().toString()).put("reason", end.reason());
    ArrayNode failed = json.putArray("failed");
    end.failed().forEach(failed::add);
    return new Message(
        Topics.unit(start.shop(), start.product(), start.unit()), id, json.toString(), true);
  }

  private static Event thinned(Event event) {
    if (event instanceof Event.ResultJudged result
        && result.measurement().figure() instanceof Figure.OfCurve of
        && of.curve().size() > MOST_POINTS) {
      Measurement whole = result.measurement();
      return new Event.ResultJudged(
          result.index(),
          whole.with(new Figure.OfCurve(Thinning.of(of.curve(), MOST_POINTS))),
          result.judgement());
    }
    return event;
  }
}
