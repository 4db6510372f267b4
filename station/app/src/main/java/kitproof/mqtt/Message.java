package kitproof.mqtt;

import java.nio.charset.StandardCharsets;

/**
 * One message for the broker.
 *
 * @param topic where
 * @param id the same each time it is sent; also in the payload
 * @param payload JSON
 * @param retained whether the broker keeps it for those who come later
 */
public record Message(String topic, String id, String payload, boolean retained) {
  byte[] bytes() {
    return payload.getBytes(StandardCharsets.UTF_8);
  }
}
