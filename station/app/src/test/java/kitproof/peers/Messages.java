package kitproof.peers;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.UncheckedIOException;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import kitproof.journal.RunRecord;
import kitproof.peer.Mosquitto.Received;

/** What mosquitto_sub has received. */
final class Messages {
  private Messages() {}

  /** A field of the payload, empty if it has none of this name. */
  static String text(Received message, String field) {
    try {
      return new ObjectMapper().readTree(message.payload()).path(field).asText();
    } catch (JsonProcessingException e) {
      throw new UncheckedIOException(message.payload(), e);
    }
  }

  static List<String> ids(List<Received> received) {
    return received.stream().map(m -> text(m, "id")).toList();
  }

  /** Ids of a run's entries in the order in which they first came. */
  static List<String> ofRun(List<Received> received, String run) {
    return ids(received).stream().filter(id -> entry(id, run)).distinct().toList();
  }

  private static boolean entry(String id, String run) {
    return id.startsWith(run + "/") && id.substring(run.length() + 1).matches("\\d+");
  }

  /** Ids of all entries that the record has. */
  static List<String> all(RunRecord record) {
    return record.events().stream().map(kitproof.event.Entry::id).toList();
  }

  /** How many messages came on topics with this last level, repeats of one message left out. */
  static Map<String, Long> countByTopicEnd(List<Received> received) {
    return received.stream()
        .distinct()
        .collect(
            Collectors.groupingBy(
                m -> m.topic().substring(m.topic().lastIndexOf('/') + 1), Collectors.counting()));
  }
}
