package kitproof.mqtt;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import org.jspecify.annotations.Nullable;

/**
 * One message for the broker.
 *
 * @param topic where
 * @param id the same each time it is sent; also in the payload
 * @param payload JSON
 * @param retained whether the broker keeps it for those who come later
 * @param kept how long, or null for ever
 */
public record Message(
    String topic, String id, String payload, boolean retained, @Nullable Duration kept) {
  /** Kept for ever, if it is retained. */
  public Message(String topic, String id, String payload, boolean retained) {
    this(topic, id, payload, retained, null);
  }

  byte[] bytes() {
    return payload.getBytes(StandardCharsets.UTF_8);
  }
}
