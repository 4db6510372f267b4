package kitproof.document;

import com.fasterxml.classmate.ResolvedType;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.github.victools.jsonschema.generator.CustomDefinition;
import com.github.victools.jsonschema.generator.CustomPropertyDefinition;
import com.github.victools.jsonschema.generator.FieldScope;
import com.github.victools.jsonschema.generator.MemberScope;
import com.github.victools.jsonschema.generator.Option;
import com.github.victools.jsonschema.generator.OptionPreset;
import com.github.victools.jsonschema.generator.SchemaGenerationContext;
import com.github.victools.jsonschema.generator.SchemaGenerator;
import com.github.victools.jsonschema.generator.SchemaGeneratorConfigBuilder;
import com.github.victools.jsonschema.generator.SchemaVersion;
import java.lang.reflect.RecordComponent;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Writes the JSON Schema (draft 2020-12) of what {@link Binder} reads, so that editors complete and
 * check a file while it is written.
 *
 * <p>From the same records and annotations, and always the same text for the same records. A schema
 * cannot say everything: bounds of quantities and what a record's constructor refuses are left to
 * the binder.
 */
public final class SchemaMaker {
  private static final ObjectMapper JSON = new ObjectMapper();

  private final Variants variants;
  private final SchemaGenerator generator;

  public SchemaMaker() {
    this(Variants.NONE);
  }

  public SchemaMaker(Variants variants) {
    this.variants = variants;
    SchemaGeneratorConfigBuilder builder =
        new SchemaGeneratorConfigBuilder(JSON, SchemaVersion.DRAFT_2020_12, OptionPreset.PLAIN_JSON)
            .with(Option.FORBIDDEN_ADDITIONAL_PROPERTIES_BY_DEFAULT)
            .with(Option.PLAIN_DEFINITION_KEYS)
            .with(Option.NONPUBLIC_NONSTATIC_FIELDS_WITHOUT_GETTERS);
    builder
        .forFields()
        .withPropertyNameOverrideResolver(field -> slot(field).key())
        .withRequiredCheck(field -> !slot(field).optional() && slot(field).initially() == null)
        .withCustomDefinitionProvider(SchemaMaker::property);
    builder
        .forTypesInGeneral()
        .withPropertySorter(Comparator.comparingInt(SchemaMaker::place))
        .withDescriptionResolver(
            scope -> {
              Meaning meaning = scope.getType().getErasedType().getAnnotation(Meaning.class);
              return meaning == null ? null : meaning.value();
            })
        .withCustomDefinitionProvider(this::variant)
        .withCustomDefinitionProvider(SchemaMaker::eitherOr);
    generator = new SchemaGenerator(builder.build());
  }

  /** The schema's text, ending with a line feed. */
  public String make(Class<? extends Record> type, String title) {
    ObjectNode made = generator.generateSchema(type);
    ObjectNode schema = JSON.createObjectNode();
    schema.set("$schema", made.remove("$schema"));
    schema.put("title", title);
    schema.setAll(made);
    DefaultIndenter indent = new DefaultIndenter("  ", "\n");
    try {
      return JSON.writer(
                  new DefaultPrettyPrinter().withObjectIndenter(indent).withArrayIndenter(indent))
              .writeValueAsString(schema)
          + "\n";
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("a schema that is no JSON", e);
    }
  }

  private static CustomPropertyDefinition property(
      FieldScope field, SchemaGenerationContext context) {
    Slot slot = slot(field);
    ObjectNode schema = new Schemas(context).of(slot, slot.type());
    Meaning meaning = field.getRawMember().getAnnotation(Meaning.class);
    if (meaning != null) {
      schema.put("description", meaning.value());
    }
    if (slot.initially() != null) {
      schema.set("default", Schemas.initial(slot.initially()));
    }
    return new CustomPropertyDefinition(schema, CustomDefinition.EXCLUDING_ATTRIBUTES);
  }

  /** One flat section: the common keys, the deciding one, and by its word the others. */
  private @Nullable CustomDefinition variant(ResolvedType type, SchemaGenerationContext context) {
    if (type.getErasedType() != Variant.class) {
      return null;
    }
    List<ResolvedType> parts = type.getTypeParameters();
    Variants.Choice choice = variants.of(parts.get(1).getErasedType());
    ObjectNode common = context.createStandardDefinition(parts.get(0), null);
    ObjectNode schema = JSON.createObjectNode().put("type", "object");
    ObjectNode properties = schema.putObject("properties");
    properties.putObject(choice.key());
    properties.setAll(properties(common));
    deciding(properties, choice);
    ArrayNode required = required(common);
    if (!properties(common).has(choice.key())) {
      required.insert(0, choice.key());
    }
    schema.set("required", required);
    ArrayNode cases = schema.putArray("allOf");
    for (Map.Entry<String, Class<?>> word : choice.types().entrySet()) {
      ObjectNode own =
          context.createStandardDefinition(context.getTypeContext().resolve(word.getValue()), null);
      ObjectNode each = cases.addObject();
      ObjectNode when = each.putObject("if");
      when.putObject("properties").putObject(choice.key()).put("const", word.getKey());
      when.putArray("required").add(choice.key());
      ObjectNode then = each.putObject("then");
      if (own.has("description")) {
        then.set("description", own.get("description"));
      }
      ObjectNode all = then.putObject("properties");
      properties.fieldNames().forEachRemaining(key -> all.put(key, true));
      all.setAll(properties(own));
      then.set("required", required(own));
      then.put("additionalProperties", false);
    }
    return new CustomDefinition(
        schema, CustomDefinition.DefinitionType.STANDARD, CustomDefinition.EXCLUDING_ATTRIBUTES);
  }

  /** The key whose words decide, which the common record may have too. */
  private static void deciding(ObjectNode properties, Variants.Choice choice) {
    ObjectNode key = JSON.createObjectNode();
    choice.types().keySet().forEach(key.putArray("enum")::add);
    JsonNode meaning = properties.path(choice.key()).path("description");
    if (meaning.isTextual()) {
      key.set("description", meaning);
    }
    properties.set(choice.key(), key);
  }

  private static @Nullable CustomDefinition eitherOr(
      ResolvedType type, SchemaGenerationContext context) {
    Class<?> both = type.getErasedType();
    if (!both.isAnnotationPresent(EitherOr.class)) {
      return null;
    }
    RecordComponent[] kinds = both.getRecordComponents();
    ObjectNode schema = JSON.createObjectNode().put("type", "object");
    schema.putObject("if").putArray("required").add(Slot.kebab(kinds[0].getName()));
    schema.set("then", reference(kinds[0], context));
    schema.set("else", reference(kinds[1], context));
    return new CustomDefinition(
        schema, CustomDefinition.DefinitionType.STANDARD, CustomDefinition.EXCLUDING_ATTRIBUTES);
  }

  private static ObjectNode reference(RecordComponent kind, SchemaGenerationContext context) {
    return context.createDefinitionReference(
        context.getTypeContext().resolve(kind.getGenericType()));
  }

  private static ObjectNode properties(ObjectNode definition) {
    JsonNode properties = definition.get("properties");
    return properties instanceof ObjectNode object ? object : JSON.createObjectNode();
  }

  private static ArrayNode required(ObjectNode definition) {
    JsonNode required = definition.get("required");
    return required instanceof ArrayNode array ? array : JSON.createArrayNode();
  }

  private static Slot slot(FieldScope field) {
    return Slot.of(field.getRawMember());
  }

  /** Where a member stands among its record's components. */
  private static int place(MemberScope<?, ?> member) {
    RecordComponent[] components = member.getDeclaringType().getErasedType().getRecordComponents();
    return components == null
        ? 0
        : Arrays.stream(components)
            .map(RecordComponent::getName)
            .toList()
            .indexOf(member.getDeclaredName());
  }
}
