package kitproof.journal;

import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.JsonToken;
import java.io.BufferedInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.HashMap;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * The first words of a record's document, read without the rest of it: enough to choose among many.
 *
 * @param chained whether it has a place in its station's chain; older documents have none
 * @param previous the record before it, or null if it is the first in the chain, or in none
 * @param run the run's name
 * @param unit its serial number
 * @param batch empty if none
 * @param verdict its word
 * @param started when the run began
 */
public record RecordHead(
    boolean chained,
    @Nullable Link previous,
    String run,
    String shop,
    String station,
    String unit,
    String batch,
    String verdict,
    Instant started) {
  private static final String LAST = "started";

  /**
   * Reads as far as needed.
   *
   * @throws IOException if it is not the document of a record; the message names the file
   */
  public static RecordHead read(Path document) throws IOException {
    Map<String, String> texts = new HashMap<>();
    try (InputStream in = new BufferedInputStream(Files.newInputStream(document));
        JsonParser json = EventCodec.parser(in)) {
      if (json.nextToken() != JsonToken.START_OBJECT) {
        throw new IOException(document + ": not the record of a run");
      }
      boolean chained = false;
      Link previous = null;
      while (!texts.containsKey(LAST) && json.nextToken() == JsonToken.FIELD_NAME) {
        String name = json.currentName();
        JsonToken value = json.nextToken();
        if (name.equals("previous")) {
          chained = true;
          previous = EventCodec.part(json, Link.class);
        } else if (value == JsonToken.VALUE_STRING) {
          texts.put(name, json.getText());
        } else {
          json.skipChildren();
        }
      }
      return new RecordHead(
          chained,
          previous,
          text(texts, "run"),
          text(texts, "shop"),
          text(texts, "station"),
          text(texts, "unit"),
          text(texts, "batch"),
          text(texts, "verdict"),
          Instant.parse(text(texts, LAST)));
    } catch (JsonProcessingException e) {
      throw new IOException(document + ": " + e.getOriginalMessage(), e);
    } catch (IllegalArgumentException | DateTimeException e) {
      throw new IOException(document + ": " + e.getMessage(), e);
    }
  }

  private static String text(Map<String, String> texts, String name) {
    String text = texts.get(name);
    if (text == null) {
      throw new IllegalArgumentException("not the record of a run: no \"" + name + "\"");
    }
    return text;
  }
}
