package kitproof.journal;

import com.fasterxml.jackson.annotation.JsonTypeInfo;
import com.fasterxml.jackson.annotation.JsonTypeName;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.databind.DeserializationContext;
import com.fasterxml.jackson.databind.JsonDeserializer;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.annotation.JsonDeserialize;
import java.io.IOException;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.event.Event;
import kitproof.value.Quantity;

/**
 * Reads what is on record of a capture. Older records name neither input range nor corrections:
 * their captures were kept as corrected, and nothing is to be corrected any more. Nor do they say
 * what was played.
 */
final class CaptureForm extends JsonDeserializer<Event.CaptureKept> {
  /** To be put on the record. */
  @JsonDeserialize(using = CaptureForm.class)
  @JsonTypeInfo(use = JsonTypeInfo.Id.NAME, property = "type")
  @JsonTypeName("capture-kept")
  interface Reader {}

  @Override
  public Event.CaptureKept deserialize(JsonParser json, DeserializationContext context)
      throws IOException {
    JsonNode form = context.readTree(json);
    for (String field :
        List.of(
            "index",
            "role",
            "file",
            "digest",
            "sampleRateHz",
            "outputs",
            "inputs",
            "loads",
            "clipped",
            "lost")) {
      if (!form.hasNonNull(field)) {
        throw new JsonValueException(json, "a capture without its " + field);
      }
    }
    Map<String, Quantity> loads = new LinkedHashMap<>();
    for (Map.Entry<String, JsonNode> load : form.path("loads").properties()) {
      loads.put(load.getKey(), context.readTreeAsValue(load.getValue(), Quantity.class));
    }
    return new Event.CaptureKept(
        context.readTreeAsValue(form.path("index"), Integer.class),
        context.readTreeAsValue(form.path("role"), String.class),
        context.readTreeAsValue(form.path("file"), String.class),
        context.readTreeAsValue(form.path("digest"), String.class),
        context.readTreeAsValue(form.path("sampleRateHz"), Double.class),
        List.of(context.readTreeAsValue(form.path("outputs"), Event.Port[].class)),
        List.of(context.readTreeAsValue(form.path("inputs"), Event.Port[].class)),
        loads,
        form.path("range").asText(""),
        form.path("corrections").asText(""),
        context.readTreeAsValue(form.path("clipped"), Boolean.class),
        context.readTreeAsValue(form.path("lost"), Boolean.class),
        drives(form));
  }

  private static Map<String, Double> drives(JsonNode form) {
    Map<String, Double> drives = new LinkedHashMap<>();
    for (Map.Entry<String, JsonNode> drive : form.path("drives").properties()) {
      drives.put(drive.getKey(), drive.getValue().asDouble());
    }
    return drives;
  }
}
