package kitproof.journal;

import com.fasterxml.jackson.core.JsonParseException;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamWriteFeature;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.MapperFeature;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import com.fasterxml.jackson.databind.exc.InvalidTypeIdException;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.fasterxml.jackson.datatype.jsr310.JavaTimeModule;
import java.io.IOException;
import java.io.InputStream;
import java.time.Instant;
import kitproof.event.Entry;
import kitproof.event.Event;
import org.jspecify.annotations.Nullable;

/**
 * Entries as JSON, exactly: what is written reads back equal, doubles to the last bit.
 *
 * <p>One line holds {@code {"schema":1,"run":…,"sequence":…,"time":…,"event":{"type":…,…}}}.
 * Quantities are {@code {"value":330.5,"unit":"V"}}, curves {@code
 * {"xUnit":"Hz","x":[…],"yUnit":"dB","y":[…]}}, conditions an object in their own order, durations
 * seconds, enums their words. Fields that are not known are passed over, so that a program may add
 * some without a new schema; a type or a schema that is not known is refused.
 */
public final class EventCodec {
  /** The version written; every version up to it is read. */
  public static final int SCHEMA = 1;

  private static final ObjectMapper MAPPER =
      JsonMapper.builder()
          .addModule(new JavaTimeModule())
          .addModule(new EventModule())
          .enable(SerializationFeature.WRITE_ENUMS_USING_TO_STRING)
          .enable(DeserializationFeature.READ_ENUMS_USING_TO_STRING)
          .disable(SerializationFeature.WRITE_DATES_AS_TIMESTAMPS)
          .enable(SerializationFeature.ORDER_MAP_ENTRIES_BY_KEYS)
          .enable(StreamWriteFeature.WRITE_BIGDECIMAL_AS_PLAIN)
          .disable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
          .enable(DeserializationFeature.FAIL_ON_MISSING_CREATOR_PROPERTIES)
          .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .disable(MapperFeature.ALLOW_COERCION_OF_SCALARS)
          .build();

  private EventCodec() {}

  /** How a line is laid out. */
  private record Line(int schema, String run, long sequence, Instant time, Event event) {}

  /** Reads a document token by token. */
  static JsonParser parser(InputStream in) throws IOException {
    return MAPPER.createParser(in);
  }

  /** The same of a text. */
  static JsonParser parser(String text) throws IOException {
    return MAPPER.createParser(text);
  }

  /** The value that the parser stands at, or null if that is a JSON null. */
  static <T> @Nullable T part(JsonParser json, Class<T> type) throws IOException {
    return MAPPER
        .readerFor(type)
        .without(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
        .readValue(json);
  }

  /** The entry as one line without its end. */
  public static String write(Entry entry) {
    return text(
        new Line(SCHEMA, entry.run(), entry.sequence(), entry.time(), entry.event()), false);
  }

  /**
   * Reads what {@link #write} wrote.
   *
   * @throws EventFormatException if it is JSON but no entry known here
   * @throws IOException if it is no JSON at all, as after a crash in the middle of a write
   */
  public static Entry read(String line) throws IOException {
    try {
      Line read = MAPPER.readValue(line, Line.class);
      if (read.schema > SCHEMA || read.schema < 1) {
        throw new EventFormatException(schemaMessage(read.schema), null);
      }
      if (read.run == null || read.time == null || read.event == null) {
        throw new EventFormatException("an entry without run, time or event", null);
      }
      return new Entry(read.run, read.sequence, read.time, read.event);
    } catch (JsonParseException e) {
      throw new IOException("not JSON: " + e.getOriginalMessage(), e);
    } catch (JsonProcessingException e) {
      throw new EventFormatException(explain(line, e), e);
    }
  }

  /** Any value of an event, or a record, as a JSON tree with the same forms as in the journal. */
  public static ObjectNode tree(Object value) {
    return MAPPER.valueToTree(value);
  }

  /** JSON text, indented if it is for people too. */
  public static String text(Object value, boolean indented) {
    try {
      return indented
          ? MAPPER.writerWithDefaultPrettyPrinter().writeValueAsString(value)
          : MAPPER.writeValueAsString(value);
    } catch (JsonProcessingException e) {
      throw new IllegalArgumentException("no JSON form: " + e.getOriginalMessage(), e);
    }
  }

  /**
   * Any value of an event, or an event itself, from its JSON tree; the other way round than {@link
   * #tree}.
   *
   * @throws EventFormatException if it is none, or has nothing where it must have something
   */
  public static <T> T value(JsonNode tree, Class<T> type) throws EventFormatException {
    try {
      return MAPPER.treeToValue(tree, type);
    } catch (JsonProcessingException e) {
      throw new EventFormatException(e.getOriginalMessage(), e);
    }
  }

  /** Reads JSON text in the forms of the journal. */
  public static <T> T parse(String text, Class<T> type) throws IOException {
    return MAPPER.readValue(text, type);
  }

  private static String explain(String line, JsonProcessingException e) throws IOException {
    JsonNode json;
    try {
      json = MAPPER.readTree(line);
    } catch (JsonProcessingException torn) {
      throw new IOException("not JSON: " + torn.getOriginalMessage(), torn);
    }
    if (json.isMissingNode()) {
      throw new IOException("an empty line", e);
    }
    int schema = json.path("schema").asInt(0);
    if (schema < 1 || schema > SCHEMA) {
      return schemaMessage(schema);
    }
    if (e instanceof InvalidTypeIdException unknown) {
      return "unknown type \""
          + unknown.getTypeId()
          + "\"; a newer program than this one may have written it";
    }
    return e.getOriginalMessage();
  }

  private static String schemaMessage(int schema) {
    return "schema " + schema + ", but this program reads 1 to " + SCHEMA;
  }
}
