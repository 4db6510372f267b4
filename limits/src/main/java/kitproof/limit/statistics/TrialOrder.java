package kitproof.limit.statistics;

import java.util.ArrayList;
import java.util.List;
import org.apache.commons.math3.random.RandomDataGenerator;
import org.apache.commons.math3.random.Well19937c;

/**
 * The order in which the trials of a gauge study are done: drawn by lot, so that whatever drifts
 * meanwhile is no unit's and no appraiser's (AIAG, Measurement Systems Analysis, 4th edition, 2010,
 * asks for that). The same seed gives the same order on every machine.
 */
public final class TrialOrder {
  private final RandomDataGenerator chance;

  private TrialOrder(long seed) {
    chance = new RandomDataGenerator(new Well19937c(seed));
  }

  /** One trial: who measures what for which time, from 1. */
  public record Trial(String appraiser, String unit, int repeat) {}

  /**
   * For persons: everybody measures every unit once, appraisers and each one's units drawn by lot,
   * before anybody measures one again.
   */
  public static List<Trial> ofAppraisers(
      List<String> appraisers, List<String> units, int repeats, long seed) {
    TrialOrder order = new TrialOrder(seed);
    List<Trial> trials = new ArrayList<>();
    for (int repeat = 1; repeat <= repeats; repeat++) {
      for (String appraiser : order.mixed(appraisers)) {
        for (String unit : order.mixed(units)) {
          trials.add(new Trial(appraiser, unit, repeat));
        }
      }
    }
    return trials;
  }

  /**
   * For reloads: every unit comes to the bench once, drawn by lot, and is measured as often as is
   * wanted without being touched; then every unit comes again.
   */
  public static List<Trial> ofReloads(
      List<String> reloads, List<String> units, int repeats, long seed) {
    TrialOrder order = new TrialOrder(seed);
    List<Trial> trials = new ArrayList<>();
    for (String reload : reloads) {
      for (String unit : order.mixed(units)) {
        for (int repeat = 1; repeat <= repeats; repeat++) {
          trials.add(new Trial(reload, unit, repeat));
        }
      }
    }
    return trials;
  }

  /** Names for units whose serial numbers are hidden: "A", "B", …, each unit's drawn by lot. */
  public static List<String> labels(int units, long seed) {
    List<String> labels = new ArrayList<>();
    for (int i = 0; i < units; i++) {
      int letter = i % 26;
      labels.add((char) ('A' + letter) + (i < 26 ? "" : String.valueOf(i / 26)));
    }
    return new TrialOrder(~seed).mixed(labels);
  }

  private List<String> mixed(List<String> names) {
    List<String> mixed = new ArrayList<>();
    for (int i : chance.nextPermutation(names.size(), names.size())) {
      mixed.add(names.get(i));
    }
    return mixed;
  }
}
