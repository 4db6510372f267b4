package kitproof.driver;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import kitproof.value.Location;
import kitproof.value.Node;
import kitproof.value.Problem;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class SettingsTest {
  private static Node.Scalar text(int line, String text) {
    return new Node.Scalar(new Location("bench.yaml", line, 9), text, false);
  }

  /** Keys and values by turns, one line each. */
  private static Node.Mapping section(Object... keysAndValues) {
    List<Node.Entry> entries = new ArrayList<>();
    for (int i = 0; i < keysAndValues.length; i += 2) {
      int line = i / 2 + 1;
      Object value = keysAndValues[i + 1];
      entries.add(
          new Node.Entry(
              new Location("bench.yaml", line, 3),
              (String) keysAndValues[i],
              value instanceof Node node ? node : text(line, (String) value)));
    }
    return new Node.Mapping(new Location("bench.yaml", 1, 1), entries);
  }

  private static List<String> messages(Settings settings) {
    return settings.problems().stream().map(Problem::toString).toList();
  }

  @Test
  void soundSettingsAreReadWithoutProblems() {
    Settings settings =
        new Settings(
            section(
                "name", "left",
                "timeout", "500 ms",
                "baud", "9600",
                "invert", "true",
                "scale", "2.5 V",
                "kind", "switcher"));
    assertThat(settings.text("name")).isEqualTo("left");
    assertThat(settings.duration("timeout", Duration.ZERO)).isEqualTo(Duration.ofMillis(500));
    assertThat(settings.integer("baud", 300, 115_200, 19_200)).isEqualTo(9_600);
    assertThat(settings.flag("invert", false)).isTrue();
    assertThat(settings.quantity("scale", Unit.VOLT)).isEqualTo(Quantity.of(2.5, Unit.VOLT));
    assertThat(settings.choice("kind", InstrumentKind.class, null))
        .isEqualTo(InstrumentKind.SWITCHER);
    assertThat(settings.integer("retries", 0, 9, 3)).isEqualTo(3);
    assertThat(settings.problems()).isEmpty();
    assertThat(settings.keysRead())
        .containsExactly("name", "timeout", "baud", "invert", "scale", "kind", "retries");
  }

  @Test
  void everythingWrongIsFoundInOnePassInTheOrderOfTheFile() {
    Settings settings =
        new Settings(section("baud", "fast", "timeot", "1 s", "kind", "swicher", "scale", "3 A"));
    settings.quantity("scale", Unit.VOLT);
    settings.choice("kind", InstrumentKind.class, InstrumentKind.METER);
    settings.duration("timeout", Duration.ZERO);
    settings.integer("baud", 300, 115_200, 9_600);
    settings.text("port");
    assertThat(messages(settings))
        .containsExactly(
            "bench.yaml:1:1: found no \"port\" in this section; expected text",
            "bench.yaml:1:9: found baud: \"fast\"; expected a whole number from 300 to 115200",
            "bench.yaml:2:3: found setting \"timeot\"; expected one of scale, kind, timeout, baud,"
                + " port; did you mean \"timeout\"?",
            "bench.yaml:3:9: found kind \"swicher\"; expected one of meter, switcher,"
                + " audio-interface, operator; did you mean \"switcher\"?",
            "bench.yaml:4:9: found scale: \"3 A\"; expected a quantity in V, such as \"10 V\"");
  }

  @Test
  void problemsOfAPartAreCountedWithTheWhole() {
    Node.Mapping inner = section("gian", "2");
    Settings settings = new Settings(section("input", inner));
    settings.part("input").integer("gain", 0, 9, 1);
    assertThat(messages(settings)).singleElement().asString().contains("did you mean \"gain\"?");
  }

  @Test
  void aPartThatIsTextIsAProblem() {
    Settings settings = new Settings(section("input", "left"));
    settings.part("input");
    assertThat(messages(settings))
        .containsExactly("bench.yaml:1:9: found input: \"left\"; expected a section");
  }

  @Test
  void listsAndNamesAreRead() {
    Node.Listing list =
        new Node.Listing(new Location("bench.yaml", 1, 9), List.of(text(1, "a"), text(1, "b")));
    Settings settings =
        new Settings(section("many", list, "one", "c", "relays", section("K1", "0", "K2", "1")));
    assertThat(settings.texts("many")).containsExactly("a", "b");
    assertThat(settings.texts("one")).containsExactly("c");
    assertThat(settings.texts("none")).isEmpty();
    assertThat(settings.textsByName("relays")).isEqualTo(Map.of("K1", "0", "K2", "1"));
    assertThat(settings.problems()).isEmpty();
  }

  @ParameterizedTest
  @CsvSource({"0 s,0", "1.5 ms,1500000", "2 s,2000000000", "1 ns,1"})
  void durationsAreExact(String text, long nanos) {
    assertThat(Settings.parseDuration(text)).isEqualTo(Duration.ofNanos(nanos));
  }

  @ParameterizedTest
  @CsvSource({"-1 s", "1 V", "5", "1e30 s"})
  void whatIsNoDurationIsRefused(String text) {
    assertThatThrownBy(() -> Settings.parseDuration(text))
        .isInstanceOf(IllegalArgumentException.class);
  }

  @Test
  void openingWithUnsoundSettingsTellsAllProblems() {
    Settings settings = new Settings(section("a", "1", "b", "2"));
    assertThatThrownBy(settings::requireSound)
        .isInstanceOf(InstrumentException.class)
        .hasMessageContaining("\"a\"")
        .hasMessageContaining("\"b\"");
  }
}
