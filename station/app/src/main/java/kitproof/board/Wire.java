package kitproof.board;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.limit.Judgement;
import kitproof.mqtt.Topics;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import org.jspecify.annotations.Nullable;

/**
 * Reads messages that anybody may have written: what is returned is complete, within bounds, and
 * came on the topic of the station it speaks for. Pure.
 */
final class Wire {
  private Wire() {}

  /**
   * Reads a message.
   *
   * @return null for one that is well but says nothing that is shown
   */
  static @Nullable Told read(String topic, byte[] payload) throws MalformedException {
    try {
      return understood(topic, payload);
    } catch (RuntimeException e) { // whatever it holds, it must not end the listening
      throw new MalformedException("it cannot be understood");
    }
  }

  private static @Nullable Told understood(String topic, byte[] payload) throws MalformedException {
    String[] levels = topic.split("/", -1);
    String last = levels[levels.length - 1];
    if (levels.length == 7 && levels[3].equals("record")) {
      return RecordWire.read(topic, payload);
    }
    JsonNode json = Fields.tree(payload);
    if (json.path("schema").asInt(0) < 1) {
      throw new MalformedException("no schema");
    }
    if (levels.length == 5 && last.equals("status")) {
      return status(topic, json);
    }
    if (levels.length == 5) {
      return entry(topic, json);
    }
    if (levels.length == 7 && levels[3].equals("verdict")) {
      return verdict(topic, json);
    }
    return null; // a newer station's, or the last verdict of a unit, which its record has
  }

  private static Told status(String topic, JsonNode json) throws MalformedException {
    String shop = Fields.name(json, "shop");
    String station = Fields.name(json, "station");
    Fields.same(topic, Topics.status(shop, station));
    String state = Fields.words(json, "state");
    if (!List.of("online", "running", "offline").contains(state)) {
      throw new MalformedException("unknown state");
    }
    boolean simulated = json.path("simulated").asBoolean(json.has("pace"));
    double pace =
        json.has("pace")
            ? Fields.bounded(Fields.number(json, "pace"), 1e-3, 1e6)
            : simulated ? 0 : 1;
    return new Told.OfStatus(
        shop,
        station,
        state,
        json.has("time") ? Fields.time(json, "time") : null,
        planned(json),
        uncalibrated(json),
        simulated,
        pace,
        state.equals("running") ? running(json) : null,
        opening(json));
  }

  private static Told.Running running(JsonNode json) throws MalformedException {
    int steps = (int) Fields.bounded(Fields.number(json, "steps"), 0, 100_000);
    int index =
        json.has("index")
            ? (int) Fields.bounded(Fields.number(json, "index"), -1, steps - 1.0)
            : -1;
    String step = Fields.words(json, "step");
    if (json.path("conditions").isObject()) {
      Conditions conditions = Fields.value(json.path("conditions"), Conditions.class);
      step = conditions.isEmpty() ? step : step + " (" + Fields.cut(conditions.toString()) + ")";
    }
    JsonNode last = json.path("last");
    return new Told.Running(
        place(json),
        new Told.Kind(
            Fields.name(json, "revision"), Fields.name(json, "batch"), Fields.words(json, "plan")),
        json.has("started") ? Fields.time(json, "started") : null,
        index,
        steps,
        step,
        Fields.bounded(json.path("expected").asDouble(0), 0, 1e9),
        Fields.bounded(json.path("behind").asDouble(0), 0, 1e9),
        last.isObject()
            ? new Told.Judged(
                Fields.words(last, "title"),
                Fields.word(Judgement.Outcome.values(), Fields.words(last, "outcome")),
                Fields.words(last, "detail"))
            : null);
  }

  private static Told entry(String topic, JsonNode json) throws MalformedException {
    Told.Place place = place(json);
    ObjectNode tree = json.deepCopy();
    tree.put("type", Fields.words(json, "event"));
    Event event = Fields.value(tree, Event.class);
    String expected;
    if (event instanceof Event.ResultJudged judged) {
      Sound.check(judged.measurement(), judged.judgement());
      expected = Topics.result(place.shop(), place.station());
    } else if (event instanceof Event.StepStarted || event instanceof Event.StepFinished) {
      expected = Topics.step(place.shop(), place.station());
    } else {
      expected = Topics.run(place.shop(), place.station());
    }
    Fields.same(topic, expected);
    String id = json.path("id").asText("");
    if (!id.startsWith(place.run() + "/")) {
      throw new MalformedException("an id that is not its run's");
    }
    long sequence;
    try {
      sequence = Long.parseLong(id.substring(place.run().length() + 1));
    } catch (NumberFormatException e) {
      throw new MalformedException("an id without number");
    }
    return new Told.OfEntry(place, sequence, Fields.time(json, "time"), event);
  }

  private static Told verdict(String topic, JsonNode json) throws MalformedException {
    Told.OfRecord told = ended(json, List.of(), null);
    Told.Place place = told.place();
    Fields.same(topic, Topics.verdict(place.shop(), place.product(), place.unit(), place.run()));
    return told;
  }

  /**
   * A run that has ended.
   *
   * @param json what stands before its results
   */
  static Told.OfRecord ended(JsonNode json, List<Brief.Result> results, @Nullable Details details)
      throws MalformedException {
    if (json.path("schema").asInt(0) < 1) {
      throw new MalformedException("no schema");
    }
    int missing = (int) Fields.bounded(json.path("missing").asDouble(0), 0, 1e9);
    int count = (int) Fields.bounded(json.path("count").asDouble(0), 0, Fields.MOST_RESULTS);
    return new Told.OfRecord(
        place(json),
        new Told.Kind(
            Fields.name(json, "revision"), Fields.name(json, "batch"), Fields.words(json, "plan")),
        Fields.time(json, "started"),
        Fields.time(json, "time"),
        json.has("finished") ? Fields.time(json, "finished") : null,
        Fields.word(Verdict.values(), Fields.words(json, "verdict")),
        Fields.words(json, "reason"),
        Fields.list(json, "failed"),
        Fields.list(json, "notices"),
        planned(json),
        opening(json),
        uncalibrated(json),
        json.path("check").asBoolean(false),
        Math.max(count, results.size()) + missing,
        results,
        details);
  }

  private static int planned(JsonNode json) {
    return (int) Fields.bounded(json.path("planned").asDouble(0), 0, 1e6);
  }

  private static Told.@Nullable Opening opening(JsonNode json) throws MalformedException {
    JsonNode opening = json.path("opening");
    return opening.isObject()
        ? new Told.Opening(
            Fields.words(opening, "unit"),
            Fields.word(SafeToOpen.values(), Fields.words(opening, "safeToOpen")),
            Fields.words(opening, "reason"))
        : null;
  }

  /**
   * The results of a record's message.
   *
   * @param name of those that are wanted, which is much quicker; null for all
   */
  static List<Told.Held> results(byte[] payload, @Nullable String name) throws MalformedException {
    JsonNode array = Fields.tree(payload).path("results");
    if (array.size() > Fields.MOST_RESULTS) {
      throw new MalformedException("too many results");
    }
    List<Told.Held> results = new ArrayList<>();
    for (JsonNode one : array) {
      if (name != null && !name.equals(one.path("measurement").path("name").asText())) {
        continue;
      }
      Measurement measurement = Fields.value(one.path("measurement"), Measurement.class);
      Judgement judgement = Fields.value(one.path("judgement"), Judgement.class);
      Sound.check(measurement, judgement);
      int points = (int) Fields.bounded(one.path("points").asDouble(0), 0, 1e9);
      results.add(new Told.Held(Fields.words(one, "step"), measurement, judgement, points));
    }
    return results;
  }

  private static Told.Place place(JsonNode json) throws MalformedException {
    return new Told.Place(
        Fields.name(json, "shop"),
        Fields.name(json, "station"),
        Fields.name(json, "run"),
        Fields.name(json, "product"),
        Fields.name(json, "unit"));
  }

  /**
   * Does nothing if nothing that is told lies in the far future.
   *
   * @throws MalformedException if something does
   */
  static void notBeyond(Told told, Instant latest) throws MalformedException {
    Instant time = null;
    if (told instanceof Told.OfRecord record) {
      time = record.started().isAfter(record.ended()) ? record.started() : record.ended();
      Instant finished = record.finished();
      time = finished != null && finished.isAfter(time) ? finished : time;
    } else if (told instanceof Told.OfEntry entry) {
      time = entry.time();
    } else if (told instanceof Told.OfStatus status) {
      Told.Running running = status.running();
      time = running != null && running.started() != null ? running.started() : status.time();
    }
    if (time != null && time.isAfter(latest)) {
      throw new MalformedException("a time in the far future");
    }
  }

  /** Of a bench that says nothing of its calibration none is missed. */
  private static boolean uncalibrated(JsonNode json) {
    return !json.path("calibrated").asBoolean(true);
  }
}
