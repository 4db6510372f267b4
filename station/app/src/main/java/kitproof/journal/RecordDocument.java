package kitproof.journal;

import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import kitproof.event.Entry;
import org.jspecify.annotations.Nullable;

/**
 * The record of a run as one JSON document.
 *
 * <p>It is written when the run's end is in the journal already: {@code RunEnded} appended and
 * forced, then {@link #write}, then {@link kitproof.journal.Journal#close}. If writing fails the
 * journal still holds everything, and {@link Recovery} writes the document at the next start. The
 * document is the fold of its own {@code events}, so reading needs nothing else of it.
 *
 * <p>Its {@code previous} names the record that was written before it on its station, with that
 * document's digest, or is null in the first one: a chain in which nothing can be altered or left
 * out unseen. Documents from before there was a chain have no such field.
 */
public final class RecordDocument {
  private RecordDocument() {}

  /** What reading needs. */
  private record Events(List<Entry> events) {}

  /**
   * Folds the journal of an ended run and writes the document, whole or not at all, forced to disk.
   *
   * @return where it is
   * @throws IOException if it could not be made durable, or the run has not ended
   */
  public static Path write(RecordStore store, Path journal) throws IOException {
    RunRecord record = store.fold(journal);
    if (record.verdict() == null) {
      throw new IOException("run " + record.run() + " has not ended");
    }
    Path file = store.recordFile(journal);
    Chain.write(store.folder(), record, file, previous -> text(record, previous), store.told());
    return file;
  }

  private static String text(RunRecord record, @Nullable Link previous) {
    ObjectNode document = JsonNodeFactory.instance.objectNode();
    document.put("schema", EventCodec.SCHEMA);
    if (previous == null) {
      document.putNull("previous");
    } else {
      document.set("previous", EventCodec.tree(previous));
    }
    document.setAll(EventCodec.tree(record));
    return EventCodec.text(document, false) + "\n";
  }

  /**
   * Reads a document back.
   *
   * @throws IOException if it cannot be read; the message names the file
   */
  public static RunRecord read(Path document) throws IOException {
    try {
      String text = Files.readString(document);
      int schema = schema(text); // first: a later one may hold events that are not known here
      if (schema > EventCodec.SCHEMA) {
        throw new IOException(
            document
                + ": schema "
                + schema
                + " is not known here; expected "
                + EventCodec.SCHEMA
                + " or older, so read it with a newer program");
      }
      return RunRecord.of(EventCodec.parse(text, Events.class).events);
    } catch (JsonProcessingException e) {
      throw new IOException(document + ": " + e.getOriginalMessage(), e);
    } catch (IllegalArgumentException e) {
      throw new IOException(document + ": " + e.getMessage(), e);
    }
  }

  /** Found without binding the rest: it stands before everything else. */
  private static int schema(String text) throws IOException {
    try (JsonParser json = EventCodec.parser(text)) {
      if (json.nextToken() == JsonToken.START_OBJECT) {
        while (json.nextToken() == JsonToken.FIELD_NAME) {
          String name = json.currentName();
          json.nextToken();
          if (name.equals("schema")) {
            return json.getIntValue();
          }
          json.skipChildren();
        }
      }
    }
    throw new IllegalArgumentException("not the record of a run: no \"schema\"");
  }
}
