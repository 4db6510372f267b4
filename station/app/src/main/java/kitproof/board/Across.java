package kitproof.board;

import java.time.ZoneId;
import java.time.ZoneOffset;
import org.jspecify.annotations.Nullable;

/**
 * What is asked of a result across a batch.
 *
 * @param name of the result, without conditions
 * @param conditions as they are shown; null for the first
 * @param page of its units, from 0
 * @param subgroup units in a row that make a group of the chart of means and ranges
 * @param zone whose time of day values are held against
 * @param standard the check standard by which drifts are told apart; null for those that stations
 *     say are theirs
 */
public record Across(
    String name,
    @Nullable String conditions,
    int page,
    int subgroup,
    ZoneId zone,
    @Nullable String standard) {
  /** Usual, as larger ones average away what should be seen: common practice, no source. */
  public static final int USUAL_SUBGROUP = 5;

  public static final int LEAST_SUBGROUP = 2;

  /** Larger groups are better told by their standard deviations: common practice, no source. */
  public static final int LARGEST_SUBGROUP = 10;

  /**
   * Checks the group.
   *
   * @throws IllegalArgumentException if it is smaller or larger than it may be
   */
  public Across {
    if (subgroup < LEAST_SUBGROUP || subgroup > LARGEST_SUBGROUP) {
      throw new IllegalArgumentException(
          "groups of "
              + subgroup
              + " units, where "
              + LEAST_SUBGROUP
              + " to "
              + LARGEST_SUBGROUP
              + " are possible");
    }
  }

  /** Usual groups, in the time of Greenwich, by the stations' own check standards. */
  public static Across of(String name, @Nullable String conditions, int page) {
    return new Across(name, conditions, page, USUAL_SUBGROUP, ZoneOffset.UTC, null);
  }

  /** The same in groups of so many units. */
  public Across by(int units) {
    return new Across(name, conditions, page, units, zone, standard);
  }

  /** The same by this check standard. */
  public Across against(String serial) {
    return new Across(name, conditions, page, subgroup, zone, serial);
  }
}
