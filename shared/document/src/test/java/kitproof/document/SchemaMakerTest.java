package kitproof.document;

import static org.assertj.core.api.Assertions.assertThat;

import com.networknt.schema.Error;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.util.List;
import kitproof.value.Node;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The validator is another's code, so it judges the schema and not our reading of it. */
class SchemaMakerTest {
  @Meaning("A thing with a price")
  record Described(
      @Meaning("What it is called") String name,
      @Meaning("How long it waits") @Initially("500 ms") java.time.Duration pause,
      @Initially("{a: 1, b: [true, 0.5]}") Node.Mapping more) {}

  record AnyQuantity(Quantity value) {}

  private static final Schema EVERYTHING =
      schema(new SchemaMaker().make(BinderTest.Everything.class, "Everything"));
  private static final Schema PLAN =
      schema(new SchemaMaker(BinderTest.PROCEDURES).make(BinderTest.Plan.class, "Plan"));

  private static Schema schema(String text) {
    return SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12).getSchema(text);
  }

  private static List<Error> errors(Schema schema, String yaml) {
    return schema.validate(yaml, InputFormat.YAML);
  }

  @Test
  void whatTheBinderReadsTheSchemaAccepts() {
    assertThat(errors(EVERYTHING, BinderTest.GOOD)).isEmpty();
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "name: first|name: [first]",
        "name: first|nam: first",
        "whole: 12|whole: 1.5",
        "share: 1e-1|share: 1.01",
        "on: true|on: 1",
        "settle: 500 ms|settle: 500",
        "settle: 500 ms|settle: 500 V",
        "safe-to-open: 40 V|safe-to-open: 40 W",
        "safe-to-open: 40 V|safe-to-open: 040 V",
        "safe-to-open: 40 V|safe_to_open: 40 V",
        "20 Hz..20 kHz|20 Hz",
        "20 Hz..20 kHz|20 V..20 kV",
        "dark blue|dark bleu",
        "taps: 8 ohm|taps: []",
        "taps: 8 ohm|taps: {a: b}",
        "load: 8 ohm|lod: 8 ohm",
        "count: 5|count: five",
        "tap: 8|tap: [8]",
        "place: 7|place: seven",
        "{port: /dev/ttyUSB0, any: [thing]}|[a]",
      })
  void whatIsBrokenInStructureIsRefusedBySchemaAndBinderAlike(String good, String bad) {
    assertThat(BinderTest.GOOD).contains(good);
    String broken = BinderTest.GOOD.replaceFirst(java.util.regex.Pattern.quote(good), bad);
    assertThat(errors(EVERYTHING, broken)).isNotEmpty();
    Node.Mapping section = YamlReader.read("f.yaml", broken).value();
    assertThat(new Binder().bind(section, BinderTest.Everything.class).isSound()).isFalse();
  }

  @Test
  void theWordUnderItsKeyDecidesWhichOtherKeysAreRight() {
    assertThat(
            errors(
                PLAN,
                """
                steps:
                  - {step: hv, procedure: reading, role: hv-meter}
                  - {step: response, repeat: 2, procedure: sweep, band: 20 Hz..20 kHz}
                """))
        .isEmpty();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "{step: hv, procedure: reading, role: m, band: 20 Hz..20 kHz}",
        "{step: hv, procedure: reading}",
        "{step: hv, procedure: redding, role: m}",
        "{step: hv, role: m}",
        "{procedure: reading, role: m}",
        "{step: hv, procedure: sweep, band: 20 Hz}",
      })
  void keysOfAnotherWordAndMissingOnesAreRefused(String step) {
    assertThat(errors(PLAN, "steps: [" + step + "]")).isNotEmpty();
  }

  @ParameterizedTest
  @EnumSource(Unit.class)
  void everySpellingOfEveryUnitIsTakenByTheSchemaAsByTheParser(Unit unit) {
    Schema schema = schema(new SchemaMaker().make(AnyQuantity.class, "Any"));
    for (String spelling : unit.spellings()) {
      for (String prefix : unit.takesPrefix() ? List.of("", "k", "µ", "G") : List.of("")) {
        for (String number : List.of("-60", "0.25", "1.5e3", ".5")) {
          String text = (number + " " + prefix + spelling).strip();
          assertThat(Quantity.parse(text).unit()).isEqualTo(unit);
          assertThat(errors(schema, "value: \"" + text + "\"")).as(text).isEmpty();
        }
      }
    }
    assertThat(errors(schema, "value: \"5 parsec\"")).isNotEmpty();
  }

  @Test
  void meaningsAndInitialValuesStandInTheSchema() {
    assertThat(new SchemaMaker().make(Described.class, "Thing"))
        .isEqualTo(
            """
            {
              "$schema" : "https://json-schema.org/draft/2020-12/schema",
              "title" : "Thing",
              "type" : "object",
              "properties" : {
                "name" : {
                  "type" : [
                    "string",
                    "number",
                    "boolean"
                  ],
                  "description" : "What it is called"
                },
                "pause" : {
                  "type" : "string",
                  "pattern" : "^[+-]?((0|[1-9][0-9]*)(\\\\.[0-9]*)?|\\\\.[0-9]+)([eE][+-]?[0-9]+)? *([GMkmuµμnp]?(s))$",
                  "examples" : [
                    "10 s"
                  ],
                  "description" : "How long it waits",
                  "default" : "500 ms"
                },
                "more" : {
                  "type" : [
                    "object",
                    "null"
                  ],
                  "default" : {
                    "a" : 1,
                    "b" : [
                      true,
                      0.5
                    ]
                  }
                }
              },
              "required" : [
                "name"
              ],
              "description" : "A thing with a price",
              "additionalProperties" : false
            }
            """);
  }

  @Test
  void theSameRecordsAlwaysGiveTheSameText() {
    assertThat(new SchemaMaker(BinderTest.PROCEDURES).make(BinderTest.Plan.class, "Plan"))
        .isEqualTo(new SchemaMaker(BinderTest.PROCEDURES).make(BinderTest.Plan.class, "Plan"));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "paint: dark blue|true",
        "paint: {colour: red, coats: 3}|true",
        "paint: dark bleu|false",
        "paint: {coats: 3}|false",
        "paint: [red]|false"
      })
  void whereOneTextMayStandForASectionTheSchemaHasBoth(String yaml, boolean good) {
    Schema painted = schema(new SchemaMaker().make(BinderTest.Painted.class, "Painted"));
    assertThat(errors(painted, yaml).isEmpty()).isEqualTo(good);
  }
}
