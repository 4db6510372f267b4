package kitproof.board;

import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.ObjectReader;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import kitproof.event.Event;
import kitproof.event.SafeToOpen;
import kitproof.event.Verdict;
import kitproof.journal.EventCodec;
import kitproof.journal.EventFormatException;
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
  /** The longest name of a shop, station, product, unit, batch or run. */
  static final int LONGEST_NAME = 1000;

  /** Longer words for people are cut here. */
  static final int LONGEST_WORDS = 2000;

  private static final Instant LATEST = Instant.parse("9999-01-01T00:00:00Z");

  /** In an overview of many units and stations, words are cut here. */
  static final int SHORT_WORDS = 300;

  static final int MOST_RESULTS = 5000;

  static final ObjectMapper JSON =
      JsonMapper.builder(
              com.fasterxml.jackson.core.JsonFactory.builder()
                  .streamReadConstraints(
                      StreamReadConstraints.builder()
                          .maxNestingDepth(32)
                          .maxStringLength(256 * 1024)
                          .build())
                  .build())
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .build();

  /** Reads a part of a text, after which more follows. */
  static final ObjectReader PARTS =
      JSON.reader().without(DeserializationFeature.FAIL_ON_TRAILING_TOKENS);

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
    JsonNode json = tree(payload);
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

  static JsonNode tree(byte[] payload) throws MalformedException {
    try {
      JsonNode json = JSON.readTree(payload);
      if (json != null && json.isObject()) {
        return json;
      }
    } catch (IOException e) {
      throw new MalformedException("no JSON");
    }
    throw new MalformedException("no JSON object");
  }

  private static Told status(String topic, JsonNode json) throws MalformedException {
    String shop = name(json, "shop");
    String station = name(json, "station");
    same(topic, Topics.status(shop, station));
    String state = words(json, "state");
    if (!List.of("online", "running", "offline").contains(state)) {
      throw new MalformedException("unknown state");
    }
    double pace = json.has("pace") ? number(json, "pace") : 1;
    return new Told.OfStatus(
        shop,
        station,
        state,
        json.has("time") ? time(json, "time") : null,
        planned(json),
        bounded(pace, 1e-3, 1e6),
        state.equals("running") ? running(json) : null,
        opening(json));
  }

  private static Told.Running running(JsonNode json) throws MalformedException {
    int steps = (int) bounded(number(json, "steps"), 0, 100_000);
    int index = json.has("index") ? (int) bounded(number(json, "index"), -1, steps - 1.0) : -1;
    String step = words(json, "step");
    if (json.path("conditions").isObject()) {
      Conditions conditions = value(json.path("conditions"), Conditions.class);
      step = conditions.isEmpty() ? step : step + " (" + cut(conditions.toString()) + ")";
    }
    JsonNode last = json.path("last");
    return new Told.Running(
        place(json),
        new Told.Kind(name(json, "revision"), name(json, "batch"), words(json, "plan")),
        json.has("started") ? time(json, "started") : null,
        index,
        steps,
        step,
        bounded(json.path("expected").asDouble(0), 0, 1e9),
        bounded(json.path("behind").asDouble(0), 0, 1e9),
        last.isObject()
            ? new Told.Judged(
                words(last, "title"),
                word(Judgement.Outcome.values(), words(last, "outcome")),
                words(last, "detail"))
            : null);
  }

  private static Told entry(String topic, JsonNode json) throws MalformedException {
    Told.Place place = place(json);
    ObjectNode tree = json.deepCopy();
    tree.put("type", words(json, "event"));
    Event event = value(tree, Event.class);
    String expected;
    if (event instanceof Event.ResultJudged judged) {
      Sound.check(judged.measurement(), judged.judgement());
      expected = Topics.result(place.shop(), place.station());
    } else if (event instanceof Event.StepStarted || event instanceof Event.StepFinished) {
      expected = Topics.step(place.shop(), place.station());
    } else {
      expected = Topics.run(place.shop(), place.station());
    }
    same(topic, expected);
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
    return new Told.OfEntry(place, sequence, time(json, "time"), event);
  }

  private static Told verdict(String topic, JsonNode json) throws MalformedException {
    Told.OfRecord told = ended(json, List.of(), null);
    Told.Place place = told.place();
    same(topic, Topics.verdict(place.shop(), place.product(), place.unit(), place.run()));
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
    int missing = (int) bounded(json.path("missing").asDouble(0), 0, 1e9);
    int count = (int) bounded(json.path("count").asDouble(0), 0, MOST_RESULTS);
    return new Told.OfRecord(
        place(json),
        new Told.Kind(name(json, "revision"), name(json, "batch"), words(json, "plan")),
        time(json, "started"),
        time(json, "time"),
        word(Verdict.values(), words(json, "verdict")),
        words(json, "reason"),
        list(json, "failed"),
        list(json, "notices"),
        planned(json),
        opening(json),
        Math.max(count, results.size()) + missing,
        results,
        details);
  }

  private static int planned(JsonNode json) {
    return (int) bounded(json.path("planned").asDouble(0), 0, 1e6);
  }

  private static Told.@Nullable Opening opening(JsonNode json) throws MalformedException {
    JsonNode opening = json.path("opening");
    return opening.isObject()
        ? new Told.Opening(
            words(opening, "unit"),
            word(SafeToOpen.values(), words(opening, "safeToOpen")),
            words(opening, "reason"))
        : null;
  }

  /**
   * The results of a record's message.
   *
   * @param name of those that are wanted, which is much quicker; null for all
   */
  static List<Told.Held> results(byte[] payload, @Nullable String name) throws MalformedException {
    JsonNode array = tree(payload).path("results");
    if (array.size() > MOST_RESULTS) {
      throw new MalformedException("too many results");
    }
    List<Told.Held> results = new ArrayList<>();
    for (JsonNode one : array) {
      if (name != null && !name.equals(one.path("measurement").path("name").asText())) {
        continue;
      }
      Measurement measurement = value(one.path("measurement"), Measurement.class);
      Judgement judgement = value(one.path("judgement"), Judgement.class);
      Sound.check(measurement, judgement);
      int points = (int) bounded(one.path("points").asDouble(0), 0, 1e9);
      results.add(new Told.Held(words(one, "step"), measurement, judgement, points));
    }
    return results;
  }

  private static Told.Place place(JsonNode json) throws MalformedException {
    return new Told.Place(
        name(json, "shop"),
        name(json, "station"),
        name(json, "run"),
        name(json, "product"),
        name(json, "unit"));
  }

  static <T> T value(JsonNode tree, Class<T> type) throws MalformedException {
    try {
      T value = EventCodec.value(tree, type);
      if (value != null) {
        return value;
      }
    } catch (EventFormatException | RuntimeException e) {
      throw new MalformedException("no " + type.getSimpleName());
    }
    throw new MalformedException("no " + type.getSimpleName());
  }

  static <T> T word(T[] values, String word) throws MalformedException {
    return Arrays.stream(values)
        .filter(v -> v.toString().equals(word))
        .findFirst()
        .orElseThrow(() -> new MalformedException("an unknown word"));
  }

  static void same(String topic, String expected) throws MalformedException {
    if (!topic.equals(expected)) {
      throw new MalformedException("on the topic of another");
    }
  }

  private static String name(JsonNode json, String field) throws MalformedException {
    String name = json.path(field).asText("");
    if (!json.path(field).isTextual() || name.length() > LONGEST_NAME) {
      throw new MalformedException("no " + field);
    }
    return name;
  }

  private static String words(JsonNode json, String field) {
    return cut(json.path(field).asText(""));
  }

  static String cut(String words) {
    return cut(words, LONGEST_WORDS);
  }

  /** For an overview. */
  static String shorten(String words) {
    return cut(words, SHORT_WORDS);
  }

  private static String cut(String words, int longest) {
    return words.length() <= longest ? words : words.substring(0, longest - 1) + "…";
  }

  /** Titles of failed results, within bounds. */
  static List<String> cut(List<String> words) {
    return words.stream().limit(MOST_RESULTS).map(Wire::cut).toList();
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

  private static List<String> list(JsonNode json, String field) {
    List<String> words = new ArrayList<>();
    json.path(field).forEach(one -> words.add(cut(one.asText(""))));
    return words.size() <= MOST_RESULTS ? words : words.subList(0, MOST_RESULTS);
  }

  private static double number(JsonNode json, String field) throws MalformedException {
    if (!json.path(field).isNumber()) {
      throw new MalformedException("no " + field);
    }
    return json.path(field).asDouble();
  }

  private static double bounded(double value, double low, double high) {
    return Double.isNaN(value) ? low : Math.max(low, Math.min(high, value));
  }

  private static Instant time(JsonNode json, String field) throws MalformedException {
    try {
      Instant time = Instant.parse(json.path(field).asText(""));
      if (time.isAfter(Instant.EPOCH) && time.isBefore(LATEST)) {
        return time;
      }
    } catch (DateTimeException e) {
      throw new MalformedException("no " + field);
    }
    throw new MalformedException("a time beyond all calendars");
  }
}
