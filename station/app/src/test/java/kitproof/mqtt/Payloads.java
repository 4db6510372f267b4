package kitproof.mqtt;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import kitproof.event.Event;
import kitproof.limit.Judgement;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Measurement;

/** What the tests of messages share. */
final class Payloads {
  private Payloads() {}

  /** A result that is a curve. */
  static Event curve(Curve curve) {
    return new Event.ResultJudged(
        0,
        Measurement.of("frequency response", Conditions.NONE, curve),
        new Judgement(Judgement.Outcome.NOT_JUDGED, null, ""));
  }

  /** What a message says. */
  static JsonNode json(Message message) throws IOException {
    return new ObjectMapper().readTree(message.payload());
  }
}
