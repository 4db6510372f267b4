package kitproof.limit;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.InputStreamReader;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Objects;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import kitproof.limit.Judgement.Outcome;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Simple acceptance against conformance probabilities of JCGM 106:2012, clause 7 (computed with
 * SciPy's normal distribution; sources stand in the file).
 *
 * <p>With a normal distribution that is narrow beside the tolerance, a value is inside the limits
 * exactly when the probability that the true value conforms is at least one half: the largest risk
 * of a false acceptance under simple acceptance is 50 %, at the limit itself.
 */
class SimpleAcceptanceTest {
  private static final Pattern ROW = Pattern.compile("([^,]*),\"?([^,]*?)\"?,([^,]*),.*");
  private static final Pattern PROBABILITY = Pattern.compile("p_conform\\(y=([0-9.]+)\\) ?");
  private static final Pattern LIMITS =
      Pattern.compile("\\S+(?: TL=(?<low>[0-9.]+))? TU=(?<high>[0-9.]+).*");

  record Row(String example, String name, String value) {
    double number() {
      return Double.parseDouble(value);
    }
  }

  private static List<Row> rows() {
    try (InputStream in = SimpleAcceptanceTest.class.getResourceAsStream("decision_rules.csv")) {
      return new BufferedReader(
              new InputStreamReader(Objects.requireNonNull(in), StandardCharsets.UTF_8))
          .lines()
          .map(ROW::matcher)
          .filter(Matcher::matches)
          .map(m -> new Row(m.group(1), m.group(2), m.group(3)))
          .toList();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static Stream<Row> probabilities() {
    return rows().stream().filter(row -> PROBABILITY.matcher(row.name()).matches());
  }

  private static Outcome judged(String limits, double value) {
    Judge judge = JudgeTest.judge("  - {result: y, " + limits + "}\n");
    return judge
        .judge(Measurement.of("y", Conditions.NONE, Quantity.of(value, Unit.VOLT)))
        .outcome();
  }

  @ParameterizedTest
  @MethodSource("probabilities")
  void aValueIsAcceptedWhenItConformsMoreLikelyThanNot(Row row) {
    Matcher y = PROBABILITY.matcher(row.name());
    Matcher limits = LIMITS.matcher(row.example());
    assertThat(y.matches() && limits.matches()).isTrue();
    String low = limits.group("low") == null ? "" : "low: " + limits.group("low") + " V, ";
    Outcome expected = row.number() >= 0.5 ? Outcome.PASS : Outcome.FAIL;
    assertThat(judged(low + "high: " + limits.group("high") + " V", Double.parseDouble(y.group(1))))
        .isEqualTo(expected);
  }

  @Test
  void bothOutcomesOccurAmongThePublishedRows() {
    assertThat(probabilities().map(row -> row.number() >= 0.5)).hasSize(20).contains(true, false);
  }

  @Test
  void theAcceptanceLimitWithoutGuardBandIsTheToleranceLimit() {
    Row limit =
        rows().stream().filter(row -> row.name().equals("AL (w=0)")).findFirst().orElseThrow();
    assertThat(judged("high: 1 V", limit.number())).isEqualTo(Outcome.PASS);
    assertThat(judged("high: 1 V", Math.nextUp(limit.number()))).isEqualTo(Outcome.FAIL);
  }

  @Test
  void theBreakdownVoltageOfTheGuidesExampleIsAccepted() {
    double limit = zener("upper_tolerance_limit_V");
    double measured = zener("measured_V");
    assertThat(judged("high: " + limit + " V", measured)).isEqualTo(Outcome.PASS);
    assertThat(judged("high: " + measured + " V", limit)).isEqualTo(Outcome.FAIL);
  }

  private static double zener(String name) {
    return rows().stream()
        .filter(row -> row.example().equals("upper_limit_zener") && row.name().equals(name))
        .findFirst()
        .orElseThrow()
        .number();
  }
}
