package kitproof.limit.statistics;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

/** Short sequences with the exact points that each rule marks; conventions stand in the file. */
class RunRulesTest {
  private static final Map<String, RunRule> NAMES =
      Map.of(
          "WE1", RunRule.BEYOND_LIMITS,
          "WE2", RunRule.TWO_OF_THREE,
          "WE3", RunRule.FOUR_OF_FIVE,
          "WE4", RunRule.EIGHT_ON_ONE_SIDE,
          "nelson9", RunRule.NINE_ON_ONE_SIDE,
          "trend6", RunRule.SIX_RISING_OR_FALLING,
          "alternating14", RunRule.FOURTEEN_ALTERNATING,
          "hugging15", RunRule.FIFTEEN_NEAR_CENTRE,
          "mixture8", RunRule.EIGHT_AWAY_FROM_CENTRE);

  @Test
  void marksExactlyThesePoints() throws IOException {
    JsonNode file =
        new ObjectMapper().readTree(RunRulesTest.class.getResourceAsStream("run_rules.json"));
    assertThat(new TreeSet<>(NAMES.values())).hasSize(RunRule.values().length);
    int sequences = 0;
    for (Map.Entry<String, JsonNode> sequence : file.get("sequences").properties()) {
      sequences++;
      double[] z = new double[sequence.getValue().get("z").size()];
      for (int i = 0; i < z.length; i++) {
        z[i] = sequence.getValue().get("z").get(i).doubleValue();
      }
      List<RuleMark> expected = new ArrayList<>();
      NAMES.forEach(
          (name, rule) ->
              sequence
                  .getValue()
                  .get("flags")
                  .path(name)
                  .forEach(i -> expected.add(new RuleMark(rule, i.intValue() - 1))));
      assertThat(RuleMark.find(EnumSet.allOf(RunRule.class), z))
          .as(sequence.getKey())
          .containsExactlyInAnyOrderElementsOf(expected);
    }
    assertThat(sequences).isEqualTo(10);
  }

  @Test
  void onlyTheRulesAsked() {
    assertThat(RuleMark.find(RuleMark.FOUR_ZONE_RULES, 4, 0, -4))
        .containsExactly(
            new RuleMark(RunRule.BEYOND_LIMITS, 0), new RuleMark(RunRule.BEYOND_LIMITS, 2));
  }
}
