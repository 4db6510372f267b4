package kitproof.plan;

import static org.assertj.core.api.Assertions.assertThat;

import com.networknt.schema.Error;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import kitproof.calibration.Calibration;
import kitproof.cause.CauseFile;
import kitproof.document.YamlReader;
import kitproof.limit.LimitFile;
import kitproof.procedure.Procedures;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * The schemas in station/schemas and the files that are shipped. The validator is another's code.
 *
 * <p>After a change to what files may hold, write the schemas anew with {@code mvn -pl station/core
 * -am test -Dtest=FileSchemasTest -Dsurefire.failIfNoSpecifiedTests=false
 * -Dkitproof.schemas.write=true} and look at the difference.
 */
class FileSchemasTest {
  private static final Path REPOSITORY = Path.of("..", "..");
  private static final Path SCHEMAS = REPOSITORY.resolve("station").resolve("schemas");
  private static final String FIRST_LINE = "# yaml-language-server: $schema=";

  private static final Map<String, String> MADE =
      Map.of(
          "plan.schema.json", FileSchemas.plan(),
          "bench.schema.json", FileSchemas.bench(),
          "limits.schema.json", LimitFile.schema(),
          "causes.schema.json", CauseFile.schema(),
          "calibration.schema.json", Calibration.schema());

  private static List<Error> errors(String schema, String yaml) {
    Schema of =
        SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
            .getSchema(MADE.get(schema));
    return of.validate(yaml, InputFormat.YAML);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "plan.schema.json",
        "bench.schema.json",
        "limits.schema.json",
        "causes.schema.json",
        "calibration.schema.json"
      })
  void thePublishedSchemaIsTheOneTheCodeMakes(String name) throws IOException {
    Path file = SCHEMAS.resolve(name);
    if (Boolean.getBoolean("kitproof.schemas.write")) {
      Files.createDirectories(SCHEMAS);
      Files.writeString(file, MADE.get(name));
    }
    assertThat(Files.readString(file)).isEqualTo(MADE.get(name));
  }

  static Stream<Path> shipped() throws IOException {
    List<Path> all;
    try (Stream<Path> examples = Files.walk(REPOSITORY.resolve("station").resolve("examples"));
        Stream<Path> limits = Files.walk(REPOSITORY.resolve("limits"))) {
      all =
          Stream.concat(examples, limits.filter(f -> !f.toString().contains("src")))
              .filter(f -> f.toString().endsWith(".yaml"))
              .filter(f -> !f.endsWith("maker.yaml")) // MakerFileTest looks at it
              .filter(f -> !f.toString().contains("target"))
              .sorted()
              .toList();
    }
    assertThat(all).hasSizeGreaterThanOrEqualTo(3);
    return all.stream();
  }

  @ParameterizedTest
  @MethodSource("shipped")
  void aShippedFileNamesItsSchemaInItsFirstLineAndIsValid(Path file) throws IOException {
    String text = Files.readString(file, StandardCharsets.UTF_8);
    String first = text.lines().findFirst().orElse("");
    assertThat(first).startsWith(FIRST_LINE);
    Path schema = file.resolveSibling(first.substring(FIRST_LINE.length()));
    assertThat(schema).isRegularFile();
    assertThat(schema.getParent())
        .satisfies(p -> assertThat(Files.isSameFile(p, SCHEMAS)).isTrue());
    assertThat(errors(schema.getFileName().toString(), text)).isEmpty();
  }

  private static final String PLAN =
      """
      plan: p
      product: Linnet 12
      revision: B
      limits: l.yaml
      steps:
        - {step: a, procedure: gain, power: 1 W}
        - repeat: {tap: [4 ohm, 8 ohm]}
          steps:
            - {step: b, procedure: reading, meter: m, function: hv, result: hv}
            - repeat: {channel: [left]}
              steps:
                - {step: c, procedure: distortion, power: 1 W, harmonics: 5}
      shut-down:
        - {step: d, procedure: discharge, meter: m, function: hv, safe: 30 V}
      """;

  @Test
  void aPlanWithRepeatsInRepeatsIsValid() {
    assertThat(errors("plan.schema.json", PLAN)).isEmpty();
    assertThat(
            YamlReader.read("plan.yaml", PLAN)
                .flatMap(s -> PlanReader.read(s, Path.of("plan.yaml")))
                .problems())
        .isEmpty();
  }

  /** At every depth; each refused by the reader too, so the two agree. */
  @ParameterizedTest(name = "{0} for {1}")
  @CsvSource(
      delimiter = '|',
      value = {
        "procedure: gian|procedure: gain",
        "power: 1 V|power: 1 W",
        "power: 1|power: 1 W",
        "powr: 1 W|power: 1 W",
        "step: a, stop: x|step: a",
        "safe: 30|safe: 30 V",
        "save: 30 V|safe: 30 V",
        "result: [hv]|result: hv",
        "harmonics: 99|harmonics: 5",
        "harmonics: 5, tone: 1 kHz|harmonics: 5",
        "repeat: [channel]|repeat: {channel: [left]}",
        "repeat: {channel: left}|repeat: {channel: [left]}",
        "reprise: {channel: [left]}|repeat: {channel: [left]}",
        "step: c, mains: on|step: c",
        "step: c, on-fail: stay|step: c",
        "plan: [p]|plan: p",
        "produkt: Linnet 12|product: Linnet 12",
        "shutdown:|shut-down:",
        "- {procedure: gain|- {step: a, procedure: gain",
      })
  void aPlanThatIsWrongInStructureIsRefused(String wrong, String right) {
    assertThat(PLAN).contains(right);
    String broken = PLAN.replace(right, wrong);
    assertThat(errors("plan.schema.json", broken)).isNotEmpty();
    assertThat(
            YamlReader.read("plan.yaml", broken)
                .flatMap(s -> PlanReader.read(s, Path.of("plan.yaml")))
                .problems())
        .isNotEmpty();
  }

  private static final String BENCH =
      """
      bench: b
      time: real
      roles:
        relays:
          driver: d
          kind: switcher
          settings: {anything: [1, {x: y}]}
          routes:
            a: {group: load, purpose: load, load: 8 ohm, relays: [K1], settle: 20 ms, when: {tap: 8 ohm}}
            b: {group: load, purpose: load, load: 4 ohm}
      """;

  @ParameterizedTest(name = "{0} for {1}")
  @CsvSource(
      delimiter = '|',
      value = {
        "kind: switch|kind: switcher",
        "purpose: loud|purpose: load",
        "load: 8 V|load: 8 ohm",
        "relays: K1|relays: [K1]",
        "settle: 20|settle: 20 ms",
        "time: unreal|time: real",
        "rolls:|roles:",
        "{purpose: load|{group: load, purpose: load",
        "drive: d|driver: d",
        "when: [tap]|when: {tap: 8 ohm}",
      })
  void aBenchThatIsWrongInStructureIsRefused(String wrong, String right) {
    assertThat(errors("bench.schema.json", BENCH)).isEmpty();
    assertThat(problems(BENCH)).isEmpty();
    assertThat(BENCH).contains(right);
    String broken = BENCH.replaceFirst(java.util.regex.Pattern.quote(right), wrong);
    assertThat(errors("bench.schema.json", broken)).isNotEmpty();
    assertThat(problems(broken)).isNotEmpty();
  }

  @Test
  void aFixedLoadIsAResistance() {
    String bench = "bench: b\nroles: {}\nfixed-load: 8";
    assertThat(errors("bench.schema.json", bench + " ohm")).isEmpty();
    assertThat(problems(bench + " ohm")).isEmpty();
    assertThat(errors("bench.schema.json", bench)).isNotEmpty();
    assertThat(problems(bench)).isNotEmpty();
  }

  private static List<Problem> problems(String bench) {
    return YamlReader.read("bench.yaml", bench).flatMap(BenchReader::read).problems();
  }

  @Test
  void everyProcedureIsInThePlansSchema() {
    assertThat(Procedures.ids()).isNotEmpty();
    for (String id : Procedures.ids()) {
      assertThat(FileSchemas.plan()).contains("\"const\" : \"" + id + "\"");
    }
  }
}
