package kitproof.journal;

import com.fasterxml.jackson.annotation.JsonSubTypes;
import com.fasterxml.jackson.annotation.JsonTypeInfo;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.databind.DeserializationContext;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.SerializerProvider;
import com.fasterxml.jackson.databind.deser.std.StdDeserializer;
import com.fasterxml.jackson.databind.module.SimpleModule;
import com.fasterxml.jackson.databind.ser.std.StdSerializer;
import java.io.IOException;
import java.math.BigDecimal;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.event.Event;
import kitproof.limit.Judgement;
import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;

/** The JSON forms of the values in events, kept here so that the values know nothing of JSON. */
final class EventModule extends SimpleModule {
  private static final long serialVersionUID = 1L;

  EventModule() {
    super("kitproof-events");
    setMixInAnnotation(Event.class, EventTypes.class);
    setMixInAnnotation(Figure.class, FigureTypes.class);
    setMixInAnnotation(Limit.class, LimitTypes.class);
    add(Unit.class, (unit, json) -> json.writeString(unit.symbol()), EventModule::unit);
    add(Duration.class, EventModule::write, EventModule::duration);
    add(Conditions.class, EventModule::write, EventModule::conditions);
    add(Curve.class, EventModule::write, EventModule::curve);
    add(Measurement.class, EventModule::write, EventModule::measurement);
    add(Uncertainty.class, UncertaintyForm::write, UncertaintyForm::read);
    add(Judgement.class, EventModule::write, EventModule::judgement);
    setMixInAnnotation(Event.CaptureKept.class, CaptureForm.Reader.class);
  }

  @JsonTypeInfo(use = JsonTypeInfo.Id.NAME, property = "type")
  @JsonSubTypes({
    @JsonSubTypes.Type(value = Event.RunStarted.class, name = "run-started"),
    @JsonSubTypes.Type(value = Event.CalibrationTold.class, name = "calibration-told"),
    @JsonSubTypes.Type(value = Event.Retest.class, name = "retest"),
    @JsonSubTypes.Type(value = Event.GaugeTrial.class, name = "gauge-trial"),
    @JsonSubTypes.Type(value = Event.BenchOpened.class, name = "bench-opened"),
    @JsonSubTypes.Type(value = Event.StepStarted.class, name = "step-started"),
    @JsonSubTypes.Type(value = Event.ResultJudged.class, name = "result-judged"),
    @JsonSubTypes.Type(value = Event.StepFinished.class, name = "step-finished"),
    @JsonSubTypes.Type(value = Event.ResultsLeftOut.class, name = "results-left-out"),
    @JsonSubTypes.Type(value = Event.SafeState.class, name = "safe-state"),
    @JsonSubTypes.Type(value = Event.InterlockTripped.class, name = "interlock-tripped"),
    @JsonSubTypes.Type(value = Event.OpeningTold.class, name = "opening-told"),
    @JsonSubTypes.Type(value = Event.RailRead.class, name = "rail-read"),
    @JsonSubTypes.Type(value = Event.OperatorAnswered.class, name = "operator-answered"),
    @JsonSubTypes.Type(value = Event.CaptureKept.class, name = "capture-kept"),
    @JsonSubTypes.Type(value = Event.Notice.class, name = "notice"),
    @JsonSubTypes.Type(value = Event.RunEnded.class, name = "run-ended"),
  })
  private interface EventTypes {}

  @JsonTypeInfo(use = JsonTypeInfo.Id.NAME, property = "type")
  @JsonSubTypes({
    @JsonSubTypes.Type(value = Figure.OfQuantity.class, name = "quantity"),
    @JsonSubTypes.Type(value = Figure.OfCurve.class, name = "curve"),
    @JsonSubTypes.Type(value = Figure.Invalid.class, name = "invalid"),
  })
  private interface FigureTypes {}

  @JsonTypeInfo(use = JsonTypeInfo.Id.NAME, property = "type")
  @JsonSubTypes({
    @JsonSubTypes.Type(value = Limit.Scalar.class, name = "scalar"),
    @JsonSubTypes.Type(value = Limit.Mask.class, name = "mask"),
  })
  private interface LimitTypes {}

  private static Unit unit(JsonParser json, DeserializationContext context) throws IOException {
    String symbol = json.getText();
    return Unit.ofSymbol(symbol)
        .orElseThrow(() -> new JsonValueException(json, "unknown unit \"" + symbol + "\""));
  }

  private static void write(Duration duration, JsonGenerator json) throws IOException {
    BigDecimal seconds =
        BigDecimal.valueOf(duration.getSeconds()).add(BigDecimal.valueOf(duration.getNano(), 9));
    BigDecimal shortest = seconds.stripTrailingZeros();
    json.writeNumber(shortest.scale() < 0 ? shortest.setScale(0) : shortest);
  }

  private static Duration duration(JsonParser json, DeserializationContext context)
      throws IOException {
    return Duration.ofNanos(json.getDecimalValue().movePointRight(9).longValueExact());
  }

  private static void write(Conditions conditions, JsonGenerator json) throws IOException {
    json.writeStartObject();
    for (Map.Entry<String, String> condition : conditions.values().entrySet()) {
      json.writeStringField(condition.getKey(), condition.getValue());
    }
    json.writeEndObject();
  }

  @SuppressWarnings("unchecked") // every value of the map is made a String below
  private static Conditions conditions(JsonParser json, DeserializationContext context)
      throws IOException {
    Map<String, String> values = new LinkedHashMap<>();
    context
        .readValue(json, Map.class)
        .forEach((name, value) -> values.put(String.valueOf(name), String.valueOf(value)));
    return new Conditions(values);
  }

  private static void write(Curve curve, JsonGenerator json) throws IOException {
    json.writeStartObject();
    json.writeStringField("xUnit", curve.xUnit().symbol());
    json.writeFieldName("x");
    json.writeArray(curve.xs(), 0, curve.size());
    json.writeStringField("yUnit", curve.yUnit().symbol());
    json.writeFieldName("y");
    json.writeArray(curve.ys(), 0, curve.size());
    json.writeEndObject();
  }

  private static Curve curve(JsonParser json, DeserializationContext context) throws IOException {
    JsonNode form = context.readTree(json);
    try {
      return Curve.of(
          curveUnit(form.path("xUnit")),
          numbers(form.path("x")),
          curveUnit(form.path("yUnit")),
          numbers(form.path("y")));
    } catch (IllegalArgumentException e) {
      throw new JsonValueException(json, "no curve: " + e.getMessage());
    }
  }

  /** Note and uncertainty are written only where there are; older records have none. */
  private static void write(Measurement measurement, JsonGenerator json) throws IOException {
    json.writeStartObject();
    json.writeStringField("name", measurement.name());
    json.writeObjectField("conditions", measurement.conditions());
    json.writeObjectField("figure", measurement.figure());
    if (!measurement.note().isEmpty()) {
      json.writeStringField("note", measurement.note());
    }
    if (measurement.uncertainty() != null) {
      json.writeObjectField("uncertainty", measurement.uncertainty());
    }
    json.writeEndObject();
  }

  private static Measurement measurement(JsonParser json, DeserializationContext context)
      throws IOException {
    JsonNode form = context.readTree(json);
    for (String field : List.of("name", "conditions", "figure")) {
      if (form.path(field).isMissingNode() || form.path(field).isNull()) {
        throw new JsonValueException(json, "a measurement without its " + field);
      }
    }
    Uncertainty uncertainty =
        form.hasNonNull("uncertainty")
            ? context.readTreeAsValue(form.path("uncertainty"), Uncertainty.class)
            : null;
    try {
      return new Measurement(
          form.path("name").asText(),
          context.readTreeAsValue(form.path("conditions"), Conditions.class),
          context.readTreeAsValue(form.path("figure"), Figure.class),
          form.path("note").asText(""),
          uncertainty);
    } catch (IllegalArgumentException e) {
      throw new JsonValueException(json, "no measurement: " + e.getMessage());
    }
  }

  /** How it was guarded is written only where it was; older records have no such thing. */
  private static void write(Judgement judgement, JsonGenerator json) throws IOException {
    json.writeStartObject();
    json.writeObjectField("outcome", judgement.outcome());
    json.writeObjectField("limit", judgement.limit());
    json.writeStringField("detail", judgement.detail());
    if (judgement.guard() != null) {
      json.writeObjectField("guard", judgement.guard());
    }
    json.writeEndObject();
  }

  private static Judgement judgement(JsonParser json, DeserializationContext context)
      throws IOException {
    JsonNode form = context.readTree(json);
    for (String field : List.of("outcome", "detail")) {
      if (form.path(field).isMissingNode() || form.path(field).isNull()) {
        throw new JsonValueException(json, "a judgement without its " + field);
      }
    }
    return new Judgement(
        context.readTreeAsValue(form.path("outcome"), Judgement.Outcome.class),
        form.hasNonNull("limit") ? context.readTreeAsValue(form.path("limit"), Limit.class) : null,
        form.path("detail").asText(),
        form.hasNonNull("guard") ? guard(form.path("guard")) : null);
  }

  /** Older records do not say what was required. */
  private static Judgement.Guard guard(JsonNode form) {
    return new Judgement.Guard(
        form.path("low").asDouble(),
        form.path("high").asDouble(),
        form.path("conformance").asDouble(),
        form.path("required").asDouble(Judgement.Guard.USUAL));
  }

  private static Unit curveUnit(JsonNode symbol) {
    return Unit.ofSymbol(symbol.asText("missing"))
        .orElseThrow(() -> new IllegalArgumentException("unknown unit " + symbol));
  }

  private static double[] numbers(JsonNode array) {
    double[] numbers = new double[array.size()];
    for (int i = 0; i < numbers.length; i++) {
      if (!array.get(i).isNumber()) {
        throw new IllegalArgumentException("no number: " + array.get(i));
      }
      numbers[i] = array.get(i).doubleValue();
    }
    return numbers;
  }

  private interface Writing<T> {
    void write(T value, JsonGenerator json) throws IOException;
  }

  private interface Reading<T> {
    T read(JsonParser json, DeserializationContext context) throws IOException;
  }

  private <T> void add(Class<T> type, Writing<T> writing, Reading<T> reading) {
    addSerializer(
        type,
        new StdSerializer<>(type) {
          private static final long serialVersionUID = 1L;

          @Override
          public void serialize(T value, JsonGenerator json, SerializerProvider unused)
              throws IOException {
            writing.write(value, json);
          }
        });
    addDeserializer(
        type,
        new StdDeserializer<T>(type) {
          private static final long serialVersionUID = 1L;

          @Override
          public T deserialize(JsonParser json, DeserializationContext context) throws IOException {
            return reading.read(json, context);
          }
        });
  }
}
