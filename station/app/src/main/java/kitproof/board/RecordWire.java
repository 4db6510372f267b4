package kitproof.board;

import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonToken;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.mqtt.Topics;
import kitproof.value.AgainstUnit;
import kitproof.value.Conditions;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * Reads the record of a run token by token: of each curve its least and greatest value are looked
 * for and nothing is made, since a board that starts is told thousands of records. Pure.
 */
final class RecordWire {
  private RecordWire() {}

  /** The record with its results in brief. */
  static Told read(String topic, byte[] payload) throws MalformedException {
    if (payload.length == 0 || payload[payload.length - 1] != '}') {
      throw new MalformedException("no whole JSON object");
    }
    ObjectNode head = JsonNodeFactory.instance.objectNode();
    List<Brief.Result> results = List.of();
    try (JsonParser json = Fields.JSON.createParser(payload)) {
      if (json.nextToken() != JsonToken.START_OBJECT) {
        throw new MalformedException("no JSON object");
      }
      for (String field = json.nextFieldName(); field != null; field = json.nextFieldName()) {
        json.nextToken();
        if (field.equals("results")) {
          results = results(json);
        } else {
          head.set(field, Fields.PARTS.<JsonNode>readTree(json));
        }
      }
    } catch (IOException e) {
      throw new MalformedException("no JSON");
    }
    Told.OfRecord told = Wire.ended(head, results, new Details(payload));
    Told.Place place = told.place();
    Fields.same(topic, Topics.record(place.shop(), place.product(), place.unit(), place.run()));
    return told;
  }

  private static List<Brief.Result> results(JsonParser json)
      throws IOException, MalformedException {
    require(json.currentToken() == JsonToken.START_ARRAY);
    List<Brief.Result> results = new ArrayList<>();
    while (json.nextToken() == JsonToken.START_OBJECT) {
      require(results.size() < Fields.MOST_RESULTS);
      results.add(result(json));
    }
    require(json.currentToken() == JsonToken.END_ARRAY);
    return results;
  }

  private static Brief.Result result(JsonParser json) throws IOException, MalformedException {
    Measured measured = null;
    JsonNode judgement = null;
    for (String field = json.nextFieldName(); field != null; field = json.nextFieldName()) {
      json.nextToken();
      switch (field) {
        case "measurement" -> measured = measured(json);
        case "judgement" -> judgement = Fields.PARTS.readTree(json);
        default -> json.skipChildren();
      }
    }
    if (measured == null || judgement == null) {
      throw new MalformedException("a result with a part missing");
    }
    Judgement.Outcome outcome =
        Fields.word(Judgement.Outcome.values(), judgement.path("outcome").asText(""));
    Limit limit =
        judgement.path("limit").isObject()
            ? Fields.value(judgement.path("limit"), Limit.class)
            : null;
    Figured figure = measured.figure;
    return new Brief.Result(
        Brief.Result.kind(measured.name, measured.conditions, figure.unit, figure.curve, limit),
        (float) figure.low,
        (float) figure.high,
        outcome);
  }

  private record Measured(String name, Conditions conditions, Figured figure) {}

  private record Figured(Unit unit, boolean curve, double low, double high) {
    static final Figured NOT_VALID = new Figured(Unit.ONE, false, Double.NaN, Double.NaN);
  }

  private static Measured measured(JsonParser json) throws IOException, MalformedException {
    require(json.currentToken() == JsonToken.START_OBJECT);
    String name = null;
    Conditions conditions = null;
    Figured figure = null;
    String note = "";
    for (String field = json.nextFieldName(); field != null; field = json.nextFieldName()) {
      JsonToken token = json.nextToken();
      switch (field) {
        case "name" -> {
          name = token == JsonToken.VALUE_STRING ? json.getText() : null;
          json.skipChildren();
        }
        case "conditions" ->
            conditions = Fields.value(Fields.PARTS.<JsonNode>readTree(json), Conditions.class);
        case "figure" -> figure = figure(json);
        case "note" -> {
          note = token == JsonToken.VALUE_STRING ? json.getText() : "";
          json.skipChildren();
        }
        default -> json.skipChildren();
      }
    }
    if (name == null || conditions == null || figure == null) {
      throw new MalformedException("a measurement with a part missing");
    }
    conditions = AgainstUnit.told(conditions, note);
    require(
        name.length() <= Fields.LONGEST_NAME
            && conditions.toString().length() <= Fields.LONGEST_WORDS);
    return new Measured(name, conditions, figure);
  }

  private static Figured figure(JsonParser json) throws IOException, MalformedException {
    require(json.currentToken() == JsonToken.START_OBJECT);
    Figured figure = Figured.NOT_VALID;
    boolean known = false;
    for (String field = json.nextFieldName(); field != null; field = json.nextFieldName()) {
      json.nextToken();
      switch (field) {
        case "quantity" -> {
          JsonNode quantity = Fields.PARTS.readTree(json);
          double value = quantity.path("value").asDouble(Double.NaN);
          figure = new Figured(unit(quantity.path("unit").asText("")), false, value, value);
          known = true;
        }
        case "curve" -> {
          figure = curve(json);
          known = true;
        }
        case "type" -> {
          known |= json.getText().equals("invalid");
          json.skipChildren();
        }
        default -> json.skipChildren();
      }
    }
    require(known);
    return figure;
  }

  private static Figured curve(JsonParser json) throws IOException, MalformedException {
    require(json.currentToken() == JsonToken.START_OBJECT);
    Unit unit = null;
    double low = Double.NaN;
    double high = Double.NaN;
    for (String field = json.nextFieldName(); field != null; field = json.nextFieldName()) {
      json.nextToken();
      if (field.equals("yUnit")) {
        unit = unit(json.getText());
        json.skipChildren();
      } else if (field.equals("y")) {
        require(json.currentToken() == JsonToken.START_ARRAY);
        while (json.nextToken().isNumeric()) {
          double y = json.getDoubleValue();
          low = y >= low ? low : y;
          high = y <= high ? high : y;
        }
        require(json.currentToken() == JsonToken.END_ARRAY);
      } else {
        json.skipChildren();
      }
    }
    if (unit == null) {
      throw new MalformedException("a curve without unit");
    }
    return new Figured(unit, true, low, high);
  }

  private static Unit unit(@Nullable String symbol) throws MalformedException {
    return Unit.ofSymbol(symbol == null ? "" : symbol)
        .orElseThrow(() -> new MalformedException("an unknown unit"));
  }

  private static void require(boolean sound) throws MalformedException {
    if (!sound) {
      throw new MalformedException("results that are none");
    }
  }
}
