package kitproof.document;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.github.victools.jsonschema.generator.SchemaGenerationContext;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.Type;
import java.time.Duration;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;

/** The schema of one component's type; the counterpart of what {@link Binder} does with it. */
final class Schemas {
  private static final JsonNodeFactory JSON = JsonNodeFactory.instance;
  private static final String NUMBER =
      "[+-]?((0|[1-9][0-9]*)(\\.[0-9]*)?|\\.[0-9]+)([eE][+-]?[0-9]+)?";
  private static final String PREFIX = "[GMkmuµμnp]?";

  private final SchemaGenerationContext context;

  Schemas(SchemaGenerationContext context) {
    this.context = context;
  }

  ObjectNode of(Slot slot, Type type) {
    if (type instanceof ParameterizedType generic) {
      return ofGeneric(slot, generic);
    }
    Class<?> plain = (Class<?>) type;
    ObjectNode schema = JSON.objectNode();
    if (plain == String.class || plain == Node.Scalar.class) {
      return text(schema);
    }
    if (plain == boolean.class || plain == Boolean.class) {
      return schema.put("type", "boolean");
    }
    if (plain == int.class || plain == Integer.class) {
      return bounded(schema.put("type", "integer"), slot);
    }
    if (plain == double.class || plain == Double.class) {
      return bounded(schema.put("type", "number"), slot);
    }
    if (plain == Duration.class) {
      return quantity(schema, List.of(Unit.SECOND), false);
    }
    if (plain == LocalDate.class) {
      return schema.put("type", "string").put("pattern", "^" + Texts.DAY + "$");
    }
    if (plain == Quantity.class || plain == QuantityRange.class) {
      List<Unit> units = slot.units().isEmpty() ? List.of(Unit.values()) : slot.units();
      return quantity(schema, units, plain == QuantityRange.class);
    }
    if (plain.isEnum()) {
      Texts.words(plain).forEach(schema.putArray("enum")::add);
      return schema;
    }
    if (plain == Conditions.class) {
      schema.put("type", "object").set("additionalProperties", text(JSON.objectNode()));
      return schema;
    }
    if (plain == Node.class) {
      Class<?> holds = slot.holds();
      return holds == null
          ? schema
          : context.createDefinitionReference(context.getTypeContext().resolve(holds));
    }
    if (plain == Node.Mapping.class) {
      schema.putArray("type").add("object").add("null");
      return schema;
    }
    if (plain == Node.Listing.class) {
      return schema.put("type", "array");
    }
    ObjectNode section = context.createDefinitionReference(context.getTypeContext().resolve(plain));
    InShort inShort = plain.getAnnotation(InShort.class);
    if (inShort == null) {
      return section;
    }
    ArrayNode either = schema.putArray("anyOf");
    Slot.of(plain).stream()
        .filter(own -> own.key().equals(inShort.value()))
        .forEach(own -> either.add(of(own, own.type())));
    either.add(section);
    return schema;
  }

  private ObjectNode ofGeneric(Slot slot, ParameterizedType type) {
    Type[] of = type.getActualTypeArguments();
    if (type.getRawType() == Located.class) {
      return of(slot, of[0]);
    }
    ObjectNode schema = JSON.objectNode();
    if (type.getRawType() == Variant.class) {
      return context.createDefinitionReference(context.getTypeContext().resolve(type));
    }
    if (type.getRawType() == Map.class) {
      schema.put("type", "object").set("additionalProperties", of(slot, of[1]));
      return schema;
    }
    schema.put("type", "array").set("items", of(slot, of[0]));
    if (!slot.oneOrMore()) {
      return schema;
    }
    schema.put("minItems", 1);
    ObjectNode either = JSON.objectNode();
    either.putArray("anyOf").add(schema).add(of(slot, of[0]));
    return either;
  }

  /** Text without quotes may look like a number or a truth value to an editor. */
  private static ObjectNode text(ObjectNode schema) {
    schema.putArray("type").add("string").add("number").add("boolean");
    return schema;
  }

  private static ObjectNode bounded(ObjectNode schema, Slot slot) {
    if (slot.low() > Double.NEGATIVE_INFINITY) {
      schema.put("minimum", slot.low());
    }
    if (slot.high() < Double.POSITIVE_INFINITY) {
      schema.put("maximum", slot.high());
    }
    return schema;
  }

  private static ObjectNode quantity(ObjectNode schema, List<Unit> units, boolean range) {
    String one =
        NUMBER + " *(" + units.stream().map(Schemas::unit).collect(Collectors.joining("|")) + ")";
    if (units.contains(Unit.ONE) && !range) {
      schema.putArray("type").add("string").add("number");
    } else {
      schema.put("type", "string");
    }
    schema.put("pattern", "^" + one + (range ? " *\\.\\. *" + one : "") + "$");
    String low = Quantity.of(10, units.get(0)).toString();
    String high = Quantity.of(20, units.get(0)).toString();
    schema.putArray("examples").add(range ? low + ".." + high : low);
    return schema;
  }

  private static String unit(Unit unit) {
    String spellings = String.join("|", unit.spellings());
    return unit.takesPrefix() ? PREFIX + "(" + spellings + ")" : spellings;
  }

  /** What holds if the key is left out, as JSON. */
  static JsonNode initial(String text) {
    return json(Slot.node(text, Location.of("")));
  }

  private static JsonNode json(Node node) {
    if (node instanceof Node.Listing listing) {
      ArrayNode array = JSON.arrayNode();
      listing.items().forEach(item -> array.add(json(item)));
      return array;
    }
    if (node instanceof Node.Mapping mapping) {
      ObjectNode object = JSON.objectNode();
      mapping.entries().forEach(entry -> object.set(entry.key(), json(entry.value())));
      return object;
    }
    Node.Scalar scalar = (Node.Scalar) node;
    String text = scalar.text();
    if (text.matches(Texts.WHOLE)) {
      return JSON.numberNode(Integer.parseInt(text));
    }
    if (text.equals("true") || text.equals("false")) {
      return JSON.booleanNode(text.equals("true"));
    }
    return !text.isEmpty() && text.matches(Texts.DECIMAL)
        ? JSON.numberNode(Double.parseDouble(text))
        : JSON.textNode(text);
  }
}
