package kitproof.journal;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.databind.DeserializationContext;
import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import kitproof.value.Contribution;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;

/**
 * The JSON form of an uncertainty: {@code {"below":[…],"above":[…],"degreesOfFreedom":[…],
 * "budget":[{"name":…},…]}}, a number a point. Infinitely many degrees of freedom are null.
 */
final class UncertaintyForm {
  private UncertaintyForm() {}

  static void write(Uncertainty uncertainty, JsonGenerator json) throws IOException {
    json.writeStartObject();
    json.writeArrayFieldStart("below");
    for (int i = 0; i < uncertainty.size(); i++) {
      json.writeNumber(uncertainty.below(i));
    }
    json.writeEndArray();
    json.writeArrayFieldStart("above");
    for (int i = 0; i < uncertainty.size(); i++) {
      json.writeNumber(uncertainty.above(i));
    }
    json.writeEndArray();
    json.writeArrayFieldStart("degreesOfFreedom");
    for (int i = 0; i < uncertainty.size(); i++) {
      number(uncertainty.degreesOfFreedom(i), json);
    }
    json.writeEndArray();
    json.writeArrayFieldStart("budget");
    for (Contribution line : uncertainty.budget()) {
      write(line, json);
    }
    json.writeEndArray();
    json.writeEndObject();
  }

  private static void number(double value, JsonGenerator json) throws IOException {
    if (Double.isInfinite(value)) {
      json.writeNull();
    } else {
      json.writeNumber(value);
    }
  }

  private static void write(Contribution line, JsonGenerator json) throws IOException {
    json.writeStartObject();
    json.writeStringField("name", line.name());
    json.writeStringField("evaluation", line.evaluation().toString());
    json.writeStringField("distribution", line.distribution().toString());
    json.writeStringField("side", line.side().toString());
    json.writeNumberField("standard", line.standard());
    json.writeStringField("unit", line.unit().symbol());
    json.writeNumberField("sensitivity", line.sensitivity());
    json.writeFieldName("degreesOfFreedom");
    number(line.degreesOfFreedom(), json);
    json.writeEndObject();
  }

  static Uncertainty read(JsonParser json, DeserializationContext context) throws IOException {
    JsonNode form = context.readTree(json);
    try {
      List<Contribution> budget = new ArrayList<>();
      for (JsonNode line : form.path("budget")) {
        budget.add(contribution(line));
      }
      return Uncertainty.of(
          numbers(form.path("below")),
          numbers(form.path("above")),
          numbers(form.path("degreesOfFreedom")),
          budget);
    } catch (IllegalArgumentException e) {
      throw new JsonValueException(json, "no uncertainty: " + e.getMessage());
    }
  }

  private static Contribution contribution(JsonNode line) {
    return new Contribution(
        line.path("name").asText(),
        word(line.path("evaluation"), Contribution.Evaluation.values()),
        word(line.path("distribution"), Contribution.Distribution.values()),
        word(line.path("side"), Contribution.Side.values()),
        number(line.path("standard")),
        Unit.ofSymbol(line.path("unit").asText("missing"))
            .orElseThrow(() -> new IllegalArgumentException("unknown unit " + line.path("unit"))),
        number(line.path("sensitivity")),
        number(line.path("degreesOfFreedom")));
  }

  private static <T> T word(JsonNode word, T[] all) {
    return Arrays.stream(all)
        .filter(each -> each.toString().equals(word.asText()))
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("unknown word " + word));
  }

  private static double number(JsonNode value) {
    if (value.isNull()) {
      return Double.POSITIVE_INFINITY;
    }
    if (!value.isNumber()) {
      throw new IllegalArgumentException("no number: " + value);
    }
    return value.doubleValue();
  }

  private static double[] numbers(JsonNode array) {
    double[] numbers = new double[array.size()];
    for (int i = 0; i < numbers.length; i++) {
      numbers[i] = number(array.get(i));
    }
    return numbers;
  }
}
