package kitproof.limit;

import static org.assertj.core.api.Assertions.assertThat;

import com.networknt.schema.Error;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.net.URISyntaxException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Objects;
import java.util.stream.Stream;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.junit.jupiter.params.provider.ValueSource;

class LimitFileTest {
  private static final Path SHIPPED = Path.of("linnet-12", "revision-b.yaml");
  private static final Schema SCHEMA =
      SchemaRegistry.withDefaultDialect(SpecificationVersion.DRAFT_2020_12)
          .getSchema(LimitFile.schema());

  static Stream<Arguments> brokenFiles() {
    String quantity = "expected a number with its unit, such as \"435 V\"";
    return Stream.of(
        broken(
            "ambiguous",
            "7:5: found a limit for gain (tap 8 ohm) that meets the one for gain (mode triode) of"
                + " line 6; expected another limit for mode triode, tap 8 ohm, or conditions that"
                + " never hold together"),
        broken(
            "limits-nothing",
            "6:5: found a limit for \"gain\" that limits nothing; expected low, high or mask",
            "10:14: found a corner that limits nothing; expected low, high or both beside \"at\""),
        broken(
            "low-above-high",
            "8:11: found high: 26 dB below low: 27.6 dB; expected a high that is not below low",
            "11:38: found high: -1 dB below low: 1 dB; expected a high that is not below low"),
        broken(
            "mask-and-ends",
            "7:10: found a single limit beside a mask; expected one of them, not both",
            "11:11: found a single limit beside a mask; expected one of them, not both"),
        broken("no-list", "5:7: found judge: nothing; expected a list"),
        broken(
            "not-rising",
            "8:14: found at: 0 Hz; expected a frequency above zero",
            "10:14: found at: 1 kHz after 1 kHz; expected corners in rising order",
            "11:14: found at: 200 Hz after 1 kHz; expected corners in rising order",
            "12:5: found a mask of 1; expected two corners or more"),
        broken(
            "same-twice",
            "7:5: found a second limit for gain (mode triode, tap 8 ohm), first at line 6; expected"
                + " one limit for the same result under the same conditions",
            "9:5: found a second limit for hv, first at line 8; expected one limit for the same"
                + " result under the same conditions"),
        broken(
            "typing-errors",
            "1:1: found no \"product\" in this section; expected text",
            "2:1: found key \"produkt\"; expected one of limits, product, revision, rule,"
                + " conformance, signed-off-by, judge; did you mean \"product\"?",
            "3:11: found revision: a list of 1; expected text",
            "6:5: found no \"result\" in this section; expected text",
            "6:6: found key \"reslt\"; expected one of result, when, low, high, mask; did you mean"
                + " \"result\"?",
            "7:35: found high: \"027 dB\"; " + quantity + ", without a leading zero",
            "8:25: found low: \"26 dBm\"; " + quantity,
            "8:33: found key \"hgh\"; expected one of result, when, low, high, mask; did you mean"
                + " \"high\"?",
            "9:26: found when: a list of 1; expected a section",
            "11:11: found mask: a section with at, low; expected a list",
            "12:5: found judge: \"gain\"; expected a section"),
        broken(
            "units-differ",
            "6:38: found \"27 V\"; expected a quantity in dB, such as \"10 dB\", the unit of line 6",
            "10:14: found \"5 Hz\"; expected a quantity in s, such as \"10 s\", the unit of line 9",
            "11:25: found \"300 mA\"; expected a quantity in V, such as \"10 V\", the unit of line"
                + " 9"),
        broken(
            "unknown-rule",
            "4:7: found rule \"guarded aceptance\"; expected one of simple acceptance, guarded"
                + " acceptance; did you mean \"guarded acceptance\"?"));
  }

  private static Arguments broken(String name, String... problems) {
    return Arguments.of(name, List.of(problems));
  }

  private static Path brokenFolder() throws URISyntaxException {
    return Path.of(Objects.requireNonNull(LimitFileTest.class.getResource("broken")).toURI());
  }

  @ParameterizedTest(name = "{0}.yaml")
  @MethodSource("brokenFiles")
  void aBrokenFileIsToldWithAllItsProblems(String name, List<String> problems) throws Exception {
    Path file = brokenFolder().resolve(name + ".yaml");
    assertThat(LimitFile.read(file).problems().stream().map(Problem::toString))
        .containsExactlyElementsOf(problems.stream().map(p -> file + ":" + p).toList());
  }

  @Test
  void everyBrokenFileIsInTheTable() throws Exception {
    try (Stream<Path> files = Files.list(brokenFolder())) {
      assertThat(files.map(f -> f.getFileName().toString()))
          .containsExactlyInAnyOrderElementsOf(
              brokenFiles().map(a -> a.get()[0] + ".yaml").toList());
    }
  }

  @Test
  void aGoodFileIsReadWithPlacesConditionsAndUnits() {
    LimitFile file =
        LimitFile.read(
                "l.yaml",
                """
                limits: Linnet 12 acceptance
                product: Linnet 12
                revision: B
                rule: simple acceptance
                judge:
                  - result: gain
                    when: {mode: ultralinear, tap: 8 ohm}
                    low: 26 dB
                    high: 27.6 dB
                  - result: supply rise
                    mask:
                      - {at: 0 s, high: 400 V}
                      - {at: 10 s, low: 100 V, high: 400 V}
                """)
            .value();
    assertThat(file.name()).isEqualTo("Linnet 12 acceptance");
    assertThat(file.product()).isEqualTo("Linnet 12");
    assertThat(file.revision()).isEqualTo("B");
    assertThat(file.rule()).isEqualTo(DecisionRule.SIMPLE_ACCEPTANCE);

    LimitEntry gain = file.entries().get(0);
    assertThat(gain)
        .isEqualTo(
            new LimitEntry(
                new Location("l.yaml", 6, 5),
                "gain",
                Conditions.of("mode", "ultralinear").with("tap", "8 ohm"),
                new Limit.Scalar(Quantity.of(26, Unit.DECIBEL), Quantity.of(27.6, Unit.DECIBEL))));
    assertThat(gain.isCurve()).isFalse();
    assertThat(gain.unit()).isEqualTo(Unit.DECIBEL);
    assertThat(gain.xUnit()).isEmpty();

    LimitEntry rise = file.entries().get(1);
    assertThat(rise.isCurve()).isTrue();
    assertThat(rise.unit()).isEqualTo(Unit.VOLT);
    assertThat(rise.xUnit()).contains(Unit.SECOND);
    assertThat(rise.appliesTo("supply rise", Conditions.of("tap", "8 ohm"))).isTrue();
    assertThat(rise.appliesTo("hv", Conditions.NONE)).isFalse();
  }

  @Test
  void twoLimitsThatMeetAreFineWhenAThirdTakesEveryResultOfBoth() {
    String text =
        """
        limits: t
        product: p
        revision: B
        rule: simple acceptance
        judge:
          - {result: thd, when: {mode: triode}, high: 1 %}
          - {result: thd, when: {tap: 8 ohm}, high: 2 %}
          - {result: thd, when: {tap: 8 ohm, mode: triode}, high: 3 %}
          - {result: thd, when: {mode: ultralinear}, high: 4 %}
        """;
    // triode at 8 ohm has its own limit; ultralinear at 8 ohm has not
    assertThat(LimitFile.read("l.yaml", text).problems())
        .singleElement()
        .asString()
        .startsWith("l.yaml:9:5: found a limit for thd (mode ultralinear) that meets the one for")
        .contains("thd (tap 8 ohm) of line 7");
    String whole = text + "  - {result: thd, when: {tap: 8 ohm, mode: ultralinear}, high: 4 %}\n";
    assertThat(LimitFile.read("l.yaml", whole).problems()).isEmpty();
  }

  @Test
  void theShippedFileIsSoundAndItsSchemaAcceptsIt() throws IOException {
    assertThat(LimitFile.read(SHIPPED).problems()).isEmpty();
    assertThat(SCHEMA.validate(Files.readString(SHIPPED), InputFormat.YAML)).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(strings = {"typing-errors", "no-list", "unknown-rule"})
  void theSchemaRefusesWhatIsBrokenInStructure(String name) throws Exception {
    String text = Files.readString(brokenFolder().resolve(name + ".yaml"));
    List<Error> errors = SCHEMA.validate(text, InputFormat.YAML);
    assertThat(errors).isNotEmpty();
  }
}
