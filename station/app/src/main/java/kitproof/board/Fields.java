package kitproof.board;

import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.ObjectReader;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import kitproof.journal.EventCodec;
import kitproof.journal.EventFormatException;

/**
 * Fields of messages that anybody may have written: each is there, is what it should be, and within
 * bounds. Pure.
 */
final class Fields {
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

  private Fields() {}

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

  static String name(JsonNode json, String field) throws MalformedException {
    String name = json.path(field).asText("");
    if (!json.path(field).isTextual() || name.length() > LONGEST_NAME) {
      throw new MalformedException("no " + field);
    }
    return name;
  }

  static String words(JsonNode json, String field) {
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
    return words.stream().limit(MOST_RESULTS).map(Fields::cut).toList();
  }

  static List<String> list(JsonNode json, String field) {
    List<String> words = new ArrayList<>();
    json.path(field).forEach(one -> words.add(cut(one.asText(""))));
    return words.size() <= MOST_RESULTS ? words : words.subList(0, MOST_RESULTS);
  }

  static double number(JsonNode json, String field) throws MalformedException {
    if (!json.path(field).isNumber()) {
      throw new MalformedException("no " + field);
    }
    return json.path(field).asDouble();
  }

  static double bounded(double value, double low, double high) {
    return Double.isNaN(value) ? low : Math.max(low, Math.min(high, value));
  }

  static Instant time(JsonNode json, String field) throws MalformedException {
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
