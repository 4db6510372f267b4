package kitproof.gauge;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import kitproof.event.Event;
import kitproof.limit.statistics.TrialOrder;

/**
 * What a gauge study is going to do, drawn once and kept: a study that was interrupted goes on in
 * the same order.
 *
 * @param name its name
 * @param by what is compared
 * @param blind whether serial numbers and results are hidden from who measures
 * @param seed of the order and the labels
 * @param repeats how often each appraiser measures each unit
 * @param units serial numbers
 * @param appraisers persons, or "reload 1", "reload 2", …
 * @param labels serial number to what the unit is called instead; empty unless it is blind
 * @param product what the units are
 * @param revision of the product
 * @param digests file role (plan, bench, limits) to digest: with others it would be another study
 * @param order every trial
 */
public record Study(
    String name,
    By by,
    boolean blind,
    long seed,
    int repeats,
    List<String> units,
    List<String> appraisers,
    Map<String, String> labels,
    String product,
    String revision,
    Map<String, String> digests,
    List<Trial> order) {
  public Study {
    units = List.copyOf(units);
    appraisers = List.copyOf(appraisers);
    labels = Map.copyOf(labels);
    digests = Map.copyOf(digests);
    order = List.copyOf(order);
  }

  /** What differs from one series of measurements to the next. */
  public enum By {
    APPRAISER("appraiser"),
    RELOAD("reload"),
    STATION("station"),
    DAY("day");

    private final String word;

    By(String word) {
      this.word = word;
    }

    @Override
    public String toString() {
      return word;
    }
  }

  /**
   * One run to do.
   *
   * @param number from 1
   * @param repeat from 1
   */
  public record Trial(int number, String unit, String appraiser, int repeat) {}

  /**
   * Draws a study.
   *
   * @param by {@link By#APPRAISER} or {@link By#RELOAD}
   */
  public static Study drawn(
      String name,
      By by,
      boolean blind,
      long seed,
      int repeats,
      List<String> units,
      List<String> appraisers,
      String product,
      String revision,
      Map<String, String> digests) {
    List<TrialOrder.Trial> drawn =
        by == By.RELOAD
            ? TrialOrder.ofReloads(appraisers, units, repeats, seed)
            : TrialOrder.ofAppraisers(appraisers, units, repeats, seed);
    List<Trial> order = new ArrayList<>();
    for (TrialOrder.Trial one : drawn) {
      order.add(new Trial(order.size() + 1, one.unit(), one.appraiser(), one.repeat()));
    }
    Map<String, String> labels = new LinkedHashMap<>();
    if (blind) {
      List<String> letters = TrialOrder.labels(units.size(), seed);
      for (int i = 0; i < units.size(); i++) {
        labels.put(units.get(i), letters.get(i));
      }
    }
    return new Study(
        name,
        by,
        blind,
        seed,
        repeats,
        units,
        appraisers,
        labels,
        product,
        revision,
        digests,
        order);
  }

  /** What the unit is called before who measures: its label, or its serial number. */
  public String called(String unit) {
    return labels.getOrDefault(unit, unit);
  }

  /** The mark in the record of a trial. */
  public Event.GaugeTrial mark(Trial trial) {
    return new Event.GaugeTrial(
        name,
        trial.number(),
        order.size(),
        trial.appraiser(),
        trial.repeat(),
        labels.getOrDefault(trial.unit(), ""));
  }

  /** Whether the unit is connected anew for this trial, or stands there from the one before. */
  public boolean connectsAnew(Trial trial) {
    return by != By.RELOAD || trial.repeat() == 1;
  }
}
