package kitproof.limit.statistics;

import java.util.ArrayList;
import java.util.Collection;
import java.util.EnumSet;
import java.util.List;
import java.util.Set;

/**
 * A point at which a run rule's pattern ends.
 *
 * @param rule the rule
 * @param index of the point, from 0
 */
public record RuleMark(RunRule rule, int index) {
  /**
   * The usual four by zones; source: Western Electric, Statistical Quality Control Handbook (1956).
   */
  public static final Set<RunRule> FOUR_ZONE_RULES =
      Set.copyOf(
          EnumSet.of(
              RunRule.BEYOND_LIMITS,
              RunRule.TWO_OF_THREE,
              RunRule.FOUR_OF_FIVE,
              RunRule.EIGHT_ON_ONE_SIDE));

  /**
   * Every point at which a pattern ends, by rising index.
   *
   * @param z the points in standard deviations from the centre line
   * @throws IllegalArgumentException if one is not finite
   */
  public static List<RuleMark> find(Collection<RunRule> rules, double... z) {
    Sample.require(z, 0);
    List<RuleMark> marks = new ArrayList<>();
    for (int i = 0; i < z.length; i++) {
      for (RunRule rule : RunRule.values()) {
        if (rules.contains(rule) && rule.endsAt(z, i)) {
          marks.add(new RuleMark(rule, i));
        }
      }
    }
    return marks;
  }
}
