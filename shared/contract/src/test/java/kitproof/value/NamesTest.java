package kitproof.value;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Names, conditions and what is said about wrong ones. */
class NamesTest {
  /**
   * Textbook examples of the edit distance, from memory; the last is one exchange of neighbours.
   */
  @ParameterizedTest
  @CsvSource({
    "kitten, sitting, 3",
    "saturday, sunday, 3",
    "ca, ac, 1",
    "'', abc, 3",
    "same, same, 0",
    "meter, metre, 1"
  })
  void editsAreCounted(String a, String b, int edits) {
    assertThat(Nearest.edits(a, b)).isEqualTo(edits);
    assertThat(Nearest.edits(b, a)).isEqualTo(edits);
  }

  @Test
  void theNearestNameIsOfferedWhateverItsCase() {
    assertThat(Nearest.to("Frequncy-Response", List.of("frequency-response", "gain")))
        .contains("frequency-response");
    assertThat(Nearest.to("port", List.of("parity", "ports", "baud"))).contains("ports");
  }

  @Test
  void nothingIsOfferedForSomethingQuiteDifferent() {
    assertThat(Nearest.to("colour", List.of("baud", "timeout"))).isEmpty();
    assertThat(Nearest.to("anything", List.of())).isEmpty();
  }

  @Test
  void equallyNearNamesAreOfferedInAFixedOrder() {
    assertThat(Nearest.to("K3", List.of("K2", "K1"))).contains("K1");
    assertThat(Nearest.to("K3", List.of("K1", "K2"))).contains("K1");
  }

  @Test
  void conditionsAreEqualInAnyOrderAndPrintedInTheirs() {
    Conditions one = Conditions.of("mode", "triode").with("tap", "8 ohm");
    Conditions other = Conditions.of("tap", "8 ohm").with("mode", "triode");
    assertThat(one).isEqualTo(other).hasSameHashCodeAs(other).hasToString("mode triode, tap 8 ohm");
    assertThat(other).hasToString("tap 8 ohm, mode triode");
  }

  @Test
  void conditionsSatisfyThoseThatAskForLess() {
    Conditions all = Conditions.of("mode", "triode").with("tap", "8 ohm");
    assertThat(all.satisfy(Conditions.NONE)).isTrue();
    assertThat(all.satisfy(Conditions.of("tap", "8 ohm"))).isTrue();
    assertThat(all.satisfy(Conditions.of("tap", "4 ohm"))).isFalse();
    assertThat(Conditions.of("tap", "8 ohm").satisfy(all)).isFalse();
  }

  @Test
  void laterConditionsWin() {
    Conditions plan = Conditions.of("mode", "triode").with("tap", "8 ohm");
    assertThat(plan.and(Conditions.of("tap", "4 ohm")))
        .isEqualTo(Conditions.of("mode", "triode").with("tap", "4 ohm"));
    assertThat(plan).as("unchanged").hasToString("mode triode, tap 8 ohm");
  }

  @Test
  void aProblemIsOneLineWithItsPlaceAndTheNearestName() {
    Location place = new Location("plan.yaml", 12, 7);
    assertThat(Problem.unknownName(place, "procedure", "gian", List.of("gain", "reading")))
        .hasToString(
            "plan.yaml:12:7: found procedure \"gian\"; expected one of gain, reading;"
                + " did you mean \"gain\"?");
    assertThat(Problem.of(Location.of("plan.yaml"), "nothing", "a plan"))
        .hasToString("plan.yaml: found nothing; expected a plan");
    assertThat(Problem.unknownName(place, "role", "x", List.of()).toString())
        .endsWith("expected none: there are none here");
  }
}
