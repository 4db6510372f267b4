package kitproof.document;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.NoSuchElementException;
import kitproof.value.Conditions;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class BinderTest {
  enum Colour {
    RED("red"),
    DARK_BLUE("dark blue");

    private final String word;

    Colour(String word) {
      this.word = word;
    }

    @Override
    public String toString() {
      return word;
    }
  }

  record Inner(@In(Unit.OHM) Quantity load, @Initially("3") int count) {
    Inner {
      if (count == 13) {
        throw new IllegalArgumentException("any count but 13");
      }
    }
  }

  @InShort("colour")
  record Paint(Colour colour, @Initially("1") int coats) {}

  record Painted(@Initially("red") Paint paint) {}

  record Everything(
      String name,
      int whole,
      @Bounds(low = 0, high = 1) double share,
      boolean on,
      Duration settle,
      @In({Unit.VOLT, Unit.DECIBEL_VOLT}) @Bounds(low = -60, high = 500) Quantity safeToOpen,
      @In(Unit.HERTZ) QuantityRange band,
      Colour colour,
      @OneOrMore List<String> taps,
      Map<String, Inner> parts,
      Conditions when,
      Node.Mapping settings,
      Located<Integer> place,
      @Key("thd+n") @Nullable Inner thdN,
      @Nullable Integer maybe,
      @Initially("[red]") List<Colour> colours) {}

  record Flag(boolean on) {}

  record Whole(@Nullable Integer whole, @Nullable Double decimal) {}

  record Volts(@In(Unit.VOLT) Quantity volts) {}

  static final String GOOD =
      """
      name: first
      whole: 12
      share: 1e-1
      on: true
      settle: 500 ms
      safe-to-open: 40 V
      band: 20 Hz..20 kHz
      colour: dark blue
      taps: 8 ohm
      parts:
        z: {load: 8 ohm}
        a: {load: 4.1 ohm, count: 5}
      when: {mode: triode, tap: 8}
      settings: {port: /dev/ttyUSB0, any: [thing]}
      place: 7
      thd+n: {load: 1 kohm}
      """;

  private static Node.Mapping yaml(String text) {
    return YamlReader.read("f.yaml", text).value();
  }

  private static List<String> problems(Parsed<?> parsed) {
    assertThat(parsed.isSound()).isFalse();
    return parsed.problems().stream().map(Problem::toString).toList();
  }

  @Test
  void aGoodSectionBecomesARecordWithInitialValuesFilledIn() {
    Everything all = new Binder().bind(yaml(GOOD), Everything.class).value();

    assertThat(all.name()).isEqualTo("first");
    assertThat(all.whole()).isEqualTo(12);
    assertThat(all.share()).isEqualTo(0.1);
    assertThat(all.on()).isTrue();
    assertThat(all.settle()).isEqualTo(Duration.ofMillis(500));
    assertThat(all.safeToOpen()).isEqualTo(Quantity.of(40, Unit.VOLT));
    assertThat(all.band()).isEqualTo(QuantityRange.parse("20 Hz..20 kHz", Unit.HERTZ));
    assertThat(all.colour()).isEqualTo(Colour.DARK_BLUE);
    assertThat(all.taps()).containsExactly("8 ohm");
    assertThat(all.parts()).containsOnlyKeys("z", "a");
    assertThat(List.copyOf(all.parts().keySet())).containsExactly("z", "a");
    assertThat(all.parts().get("a")).isEqualTo(new Inner(Quantity.of(4.1, Unit.OHM), 5));
    assertThat(all.parts().get("z").count()).isEqualTo(3);
    assertThat(all.when()).isEqualTo(Conditions.of("mode", "triode").with("tap", "8"));
    assertThat(all.settings().get("port")).isPresent();
    assertThat(all.place()).isEqualTo(new Located<>(new Location("f.yaml", 15, 8), 7));
    assertThat(all.thdN()).isEqualTo(new Inner(Quantity.of(1000, Unit.OHM), 3));
    assertThat(all.maybe()).isNull();
    assertThat(all.colours()).containsExactly(Colour.RED);
  }

  @Test
  void everyProblemIsFoundInOnePassInTheOrderOfTheFile() {
    String bad =
        """
        name: [a, b]
        whole: 1.5
        share: 1.01
        on: yes
        settle: 500
        safe-to-open: 40 W
        band: 20 kHz..20 Hz
        colour: dark bleu
        taps: []
        parts:
          z: {lod: 8 ohm, count: 13}
        when: triode
        settings: 5
        place: x
        thd+n: {load: 8 ohm, count: 13}
        safe-to-opn: 3 V
        colours: [red, grean]
        """;
    assertThat(problems(new Binder().bind(yaml(bad), Everything.class)))
        .containsExactly(
            "f.yaml:1:7: found name: a list of 2; expected text",
            "f.yaml:2:8: found whole: \"1.5\"; expected a whole number",
            "f.yaml:3:8: found share: \"1.01\"; expected a number from 0 to 1",
            "f.yaml:4:5: found on: \"yes\"; expected true or false",
            "f.yaml:5:9: found settle: \"500\"; expected a time, such as \"500 ms\"",
            "f.yaml:6:15: found safe-to-open: \"40 W\"; expected a quantity in V or dBV,"
                + " such as \"10 V\", from -60 V to 500 V",
            "f.yaml:7:7: found band: \"20 kHz..20 Hz\"; expected a range in Hz, low end first,"
                + " such as \"20 Hz..200 Hz\"",
            "f.yaml:8:9: found colour \"dark bleu\"; expected one of red, dark blue;"
                + " did you mean \"dark blue\"?",
            "f.yaml:9:7: found taps: a list of 0; expected at least one item",
            "f.yaml:11:6: found no \"load\" in this section; expected a quantity in ohm,"
                + " such as \"10 ohm\"",
            "f.yaml:11:7: found key \"lod\"; expected one of load, count; did you mean \"load\"?",
            "f.yaml:12:7: found when: \"triode\"; expected a section",
            "f.yaml:13:11: found settings: \"5\"; expected a section",
            "f.yaml:14:8: found place: \"x\"; expected a whole number",
            "f.yaml:15:8: found a section with load, count; expected any count but 13",
            "f.yaml:16:1: found key \"safe-to-opn\"; expected one of name, whole, share, on,"
                + " settle, safe-to-open, band, colour, taps, parts, when, settings, place, thd+n,"
                + " maybe, colours; did you mean \"safe-to-open\"?",
            "f.yaml:17:16: found colours \"grean\"; expected one of red, dark blue");
  }

  @Test
  void missingKeysAreToldWithWhatIsExpected() {
    assertThat(problems(new Binder().bind(yaml("{}"), Inner.class)))
        .containsExactly(
            "f.yaml:1:1: found no \"load\" in this section; expected a quantity in ohm,"
                + " such as \"10 ohm\"");
  }

  @ParameterizedTest
  @ValueSource(strings = {"010", "1_000", "0x10", "1e3", "+", "99999999999", "nothing", ""})
  void whatIsNotPlainlyAWholeNumberIsRefused(String text) {
    assertThat(problems(new Binder().bind(yaml("whole: " + text), Whole.class)))
        .singleElement()
        .asString()
        .contains("expected a whole number");
  }

  @ParameterizedTest
  @ValueSource(strings = {"01.5", "NaN", ".inf", "1e999", "1d", "0x1p3", "1,5"})
  void whatIsNotPlainlyANumberIsRefused(String text) {
    assertThat(problems(new Binder().bind(yaml("decimal: " + text), Whole.class)))
        .singleElement()
        .asString()
        .contains("expected a number");
  }

  @ParameterizedTest
  @CsvSource({"1e3,1000", "-0.5,-0.5", ".5,0.5", "0,0", "'\"7\"',7"})
  void decimalsAreReadInTheWaysPeopleWriteThem(String text, double value) {
    assertThat(new Binder().bind(yaml("decimal: " + text), Whole.class).value().decimal())
        .isEqualTo(value);
  }

  @ParameterizedTest
  @ValueSource(strings = {"435", "435 A", "010 V", "V", "435 V V", "1e999 V"})
  void aQuantityNeedsItsUnit(String text) {
    assertThat(problems(new Binder().bind(yaml("volts: " + text), Volts.class)))
        .singleElement()
        .asString()
        .contains("expected a quantity in V, such as \"10 V\"");
  }

  @ParameterizedTest
  @ValueSource(strings = {"yes", "True", "1", "on", "TRUE"})
  void onlyTrueAndFalseAreTruthValues(String text) {
    assertThat(problems(new Binder().bind(yaml("on: " + text), Flag.class)))
        .containsExactly("f.yaml:1:5: found on: \"" + text + "\"; expected true or false");
  }

  interface Special {}

  record Sweep(@In(Unit.HERTZ) QuantityRange band) implements Special {}

  record Reading(String role, @Initially("5") int times) implements Special {}

  record Common(String step, @Nullable Integer repeat) {}

  record Plan(List<Variant<Common, Special>> steps) {}

  private static Map<String, Class<? extends Special>> procedures() {
    Map<String, Class<? extends Special>> types = new LinkedHashMap<>();
    types.put("sweep", Sweep.class);
    types.put("reading", Reading.class);
    return types;
  }

  static final Variants PROCEDURES = Variants.NONE.with(Special.class, "procedure", procedures());

  @Test
  void aSectionOfPartsIsReadByTheWordUnderItsKey() {
    String text =
        """
        steps:
          - {step: hv, procedure: reading, role: hv-meter}
          - {step: response, repeat: 2, procedure: sweep, band: 20 Hz..20 kHz}
        """;
    Plan plan = new Binder(PROCEDURES).bind(yaml(text), Plan.class).value();
    assertThat(plan.steps().get(0).special()).isEqualTo(new Reading("hv-meter", 5));
    assertThat(plan.steps().get(0).word())
        .isEqualTo(new Located<>(new Location("f.yaml", 2, 27), "reading"));
    assertThat(plan.steps().get(1).common()).isEqualTo(new Common("response", 2));
    assertThat(plan.steps().get(1).special())
        .isEqualTo(new Sweep(QuantityRange.parse("20 Hz..20 kHz", Unit.HERTZ)));
  }

  @Test
  void partsAloneCanBeReadToo() {
    Node.Mapping section = yaml("{step: hv, procedure: reading, role: hv-meter, times: 2}");
    Variant<Common, Special> both =
        new Binder(PROCEDURES).bindParts(section, Common.class, Special.class).value();
    assertThat(both.special()).isEqualTo(new Reading("hv-meter", 2));
    assertThat(both.common()).isEqualTo(new Common("hv", null));
  }

  @Test
  void aKeyOfAnotherProcedureIsUnknownAndTheNearestOfBothPartsIsNamed() {
    String text =
        """
        steps:
          - {step: hv, procedure: reading, band: 20 Hz..20 kHz, rolle: x, repeet: 1}
          - {stp: hv, procedure: redding, role: x}
          - {step: hv}
        """;
    assertThat(problems(new Binder(PROCEDURES).bind(yaml(text), Plan.class)))
        .containsExactly(
            "f.yaml:2:5: found no \"role\" in this section; expected text",
            "f.yaml:2:36: found key \"band\"; expected one of procedure, step, repeat, role, times",
            "f.yaml:2:57: found key \"rolle\"; expected one of procedure, step, repeat, role,"
                + " times; did you mean \"role\"?",
            "f.yaml:2:67: found key \"repeet\"; expected one of procedure, step, repeat, role,"
                + " times; did you mean \"repeat\"?",
            "f.yaml:3:5: found no \"step\" in this section; expected text",
            "f.yaml:3:26: found procedure \"redding\"; expected one of sweep, reading;"
                + " did you mean \"reading\"?",
            "f.yaml:4:5: found no \"procedure\" in this section; expected one of"
                + " sweep, reading");
  }

  record Pair(Located<Integer> low, Located<Integer> high) implements SelfChecked {
    @Override
    public List<Problem> problems(Location section) {
      return low.value() <= high.value()
          ? List.of()
          : List.of(Problem.of(high.location(), "" + high.value(), "no less than " + low.value()));
    }
  }

  record Pairs(List<Pair> pairs, int count) {}

  @Test
  void aRecordsOwnChecksAreToldTogetherWithAllElse() {
    String text = "pairs: [{low: 1, high: 2}, {low: 3, high: 2}, {low: 5, high: 4}]\ncount: x\n";
    assertThat(problems(new Binder().bind(yaml(text), Pairs.class)))
        .containsExactly(
            "f.yaml:1:43: found 2; expected no less than 3",
            "f.yaml:1:62: found 4; expected no less than 5",
            "f.yaml:2:8: found count: \"x\"; expected a whole number");
  }

  @Test
  void thereIsNoHalfValue() {
    Parsed<Inner> parsed = new Binder().bind(yaml("count: 4"), Inner.class);
    assertThatThrownBy(parsed::value)
        .isInstanceOf(NoSuchElementException.class)
        .hasMessageContaining("no \"load\"");
    assertThat(parsed.map(Inner::count).problems()).isEqualTo(parsed.problems());
  }

  @Test
  void laterChecksAddToTheSameChain() {
    Parsed<Inner> parsed = new Binder().bind(yaml("load: 4 ohm"), Inner.class);
    Problem heavy = Problem.of(new Location("f.yaml", 1, 7), "4 ohm", "8 ohm");
    assertThat(parsed.checked(inner -> List.of()).value()).isEqualTo(parsed.value());
    assertThat(parsed.checked(inner -> List.of(heavy)).problems()).containsExactly(heavy);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "other: 1|",
        "paint: dark blue|Paint[colour=dark blue, coats=1]",
        "paint: {colour: dark blue}|Paint[colour=dark blue, coats=1]",
        "paint: {colour: red, coats: 3}|Paint[colour=red, coats=3]",
        "paint: {coats: 3}|",
        "paint: dark bleu|",
        "paint: ''|",
        "paint: |",
        "paint: [red]|"
      })
  void oneTextMayStandForASection(String yaml, @Nullable String read) {
    Parsed<Painted> painted =
        new Binder().bind(YamlReader.read("f.yaml", yaml).value(), Painted.class);
    if (read == null) {
      assertThat(painted.isSound()).isFalse();
    } else {
      assertThat(painted.value().paint()).hasToString(read);
    }
  }

  @Test
  void whatIsWrongWithSuchATextIsToldByTheKeyThatIsThere() {
    Parsed<Painted> bleu =
        new Binder().bind(YamlReader.read("f.yaml", "paint: dark bleu").value(), Painted.class);
    assertThat(bleu.problems())
        .singleElement()
        .hasToString(
            "f.yaml:1:8: found paint \"dark bleu\"; expected one of red, dark blue; did you mean"
                + " \"dark blue\"?");
    Parsed<Painted> none =
        new Binder().bind(new Node.Mapping(Location.of("f.yaml"), List.of()), Painted.class);
    assertThat(none.value().paint()).isEqualTo(new Paint(Colour.RED, 1));
  }
}
