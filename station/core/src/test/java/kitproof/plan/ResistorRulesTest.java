package kitproof.plan;

import static org.assertj.core.api.Assertions.assertThat;

import kitproof.document.Parsed;
import kitproof.document.YamlReader;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;

/** What several routes may say of one resistor. */
class ResistorRulesTest {
  private static Parsed<Bench> bench(String first, String second) {
    String text =
        """
        bench: one resistor
        roles:
          relays:
            driver: fake
            kind: switcher
            routes:
              mains off:     {group: mains, purpose: mains-off}
              mains limited: {group: mains, purpose: mains-limited, relays: [K1]}
              drive muted:   {group: drive, purpose: mute}
              drive:         {group: drive, purpose: drive, relays: [K3]}
              8 ohm tap:     {group: load, purpose: load, load: 8 ohm, %s}
              4 ohm tap:     {group: load, purpose: load, load: 8 ohm, relays: [K4], %s}
        """
            .formatted(first, second);
    return YamlReader.read("bench.yaml", text).flatMap(BenchReader::read);
  }

  private static String problem(Parsed<Bench> bench) {
    assertThat(bench.problems()).hasSize(1);
    Problem problem = bench.problems().get(0);
    return problem.toString();
  }

  @Test
  void oneRatingOfOneResistorIsOneBook() {
    Bench bench =
        bench("rating: 50 W, resistor: R1", "rating: 50 W, rating-time: 60 s, resistor: R1")
            .value();
    assertThat(bench.ratings().get("8 ohm tap").book("8 ohm tap")).isEqualTo("R1");
    assertThat(bench.ratings().get("4 ohm tap").book("4 ohm tap")).isEqualTo("R1");
  }

  @Test
  void withoutItEachLoadHasItsOwnBook() {
    Bench bench = bench("rating: 50 W", "rating: 50 W").value();
    assertThat(bench.ratings().get("4 ohm tap").book("4 ohm tap")).isEqualTo("4 ohm tap");
  }

  @Test
  void twoRatingsOfOneResistorAreRefused() {
    assertThat(problem(bench("rating: 50 W, resistor: R1", "rating: 25 W, resistor: R1")))
        .startsWith("bench.yaml:12:")
        .contains(
            "resistor \"R1\" rated 25 W over 60 s here, and 50 W over 60 s by route \"8 ohm tap\"",
            "one rating of one resistor");
  }

  @Test
  void aResistorWithoutARatingIsRefused() {
    assertThat(problem(bench("resistor: R1", "rating: 25 W, resistor: R1")))
        .startsWith("bench.yaml:11:")
        .contains("a resistor without a rating", "a load with a rating");
  }
}
