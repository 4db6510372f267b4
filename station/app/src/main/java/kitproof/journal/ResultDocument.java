package kitproof.journal;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import kitproof.value.Measurement;

/**
 * What an analysis found, without a run around it, as one JSON document.
 *
 * @param title what was analysed
 * @param results what was found
 */
public record ResultDocument(String title, List<Measurement> results) {
  public ResultDocument {
    results = List.copyOf(results);
  }

  /** As it is written. */
  private record Content(int schema, String analysis, List<Measurement> results) {}

  /** Writes the document, whole or not at all. */
  public void write(Path file) throws IOException {
    ObjectNode document = JsonNodeFactory.instance.objectNode();
    document.put("schema", EventCodec.SCHEMA);
    document.put("analysis", title);
    document.set("results", EventCodec.tree(this).get("results"));
    Durable.replace(file, EventCodec.text(document, false) + "\n", true);
  }

  /**
   * Reads a document back; empty if the file is JSON of another kind, such as the record of a run.
   *
   * @throws IOException if it cannot be read; the message names the file
   */
  public static Optional<ResultDocument> read(Path file) throws IOException {
    try {
      String text = Files.readString(file);
      JsonNode tree = EventCodec.parse(text, JsonNode.class);
      if (!tree.has("analysis")) {
        return Optional.empty();
      }
      if (tree.path("schema").asInt() > EventCodec.SCHEMA) {
        throw new IOException(file + ": schema " + tree.get("schema") + " is not known here");
      }
      Content content = EventCodec.parse(text, Content.class);
      return Optional.of(new ResultDocument(content.analysis, content.results));
    } catch (JsonProcessingException e) {
      throw new IOException(file + ": " + e.getOriginalMessage(), e);
    } catch (IllegalArgumentException e) {
      throw new IOException(file + ": " + e.getMessage(), e);
    }
  }
}
