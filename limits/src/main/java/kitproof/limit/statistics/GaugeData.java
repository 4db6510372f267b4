package kitproof.limit.statistics;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.DoubleStream;
import org.apache.commons.math3.stat.StatUtils;

/**
 * The readings of a gauge study: every appraiser measured every unit the same number of times.
 *
 * <p>An appraiser is whatever changes between series: a person, a reload of the bench, a day, a
 * station.
 */
public final class GaugeData {
  private final List<String> units;
  private final List<String> appraisers;
  private final int repeats;
  private final double[][][] values;

  /**
   * One reading.
   *
   * @param appraiser who or what measured
   * @param unit what was measured
   * @param value in one unit of measure throughout the study
   */
  public record Reading(String appraiser, String unit, double value) {}

  private GaugeData(List<String> units, List<String> appraisers, double[][][] values) {
    this.units = units;
    this.appraisers = appraisers;
    this.values = values;
    this.repeats = values[0][0].length;
  }

  /**
   * Sorts the readings, given in any order.
   *
   * @throws IllegalArgumentException if there are fewer than 2 units, 2 appraisers or 2 repeats,
   *     some combination has more or fewer readings than the others, or a value is not finite
   */
  public static GaugeData of(List<Reading> readings) {
    Set<String> units = new LinkedHashSet<>();
    Set<String> appraisers = new LinkedHashSet<>();
    for (Reading reading : readings) {
      units.add(reading.unit());
      appraisers.add(reading.appraiser());
    }
    if (units.size() < 2 || appraisers.size() < 2) {
      throw new IllegalArgumentException(
          units.size() + " units and " + appraisers.size() + " appraisers, where 2 are needed");
    }
    int repeats = readings.size() / (units.size() * appraisers.size());
    double[][][] values = new double[appraisers.size()][units.size()][];
    int a = 0;
    for (String appraiser : appraisers) {
      int u = 0;
      for (String unit : units) {
        values[a][u] = of(readings, appraiser, unit, repeats);
        u++;
      }
      a++;
    }
    return new GaugeData(List.copyOf(units), List.copyOf(appraisers), values);
  }

  private static double[] of(List<Reading> readings, String appraiser, String unit, int repeats) {
    double[] found =
        readings.stream()
            .filter(r -> r.appraiser().equals(appraiser) && r.unit().equals(unit))
            .mapToDouble(Reading::value)
            .toArray();
    if (found.length != repeats || repeats < 2) {
      throw new IllegalArgumentException(
          appraiser
              + " measured "
              + unit
              + " "
              + found.length
              + " times, where "
              + Math.max(2, repeats)
              + " are needed");
    }
    Sample.require(found, 2);
    return found;
  }

  public List<String> units() {
    return units;
  }

  public List<String> appraisers() {
    return appraisers;
  }

  /** How often each appraiser measured each unit. */
  public int repeats() {
    return repeats;
  }

  /** The mean of all readings of a unit. */
  public double meanOfUnit(String unit) {
    return StatUtils.mean(ofUnit(place(units, unit)));
  }

  /** The mean of all readings of an appraiser. */
  public double meanOfAppraiser(String appraiser) {
    return StatUtils.mean(ofAppraiser(place(appraisers, appraiser)));
  }

  /** What one appraiser read of one unit, in order. */
  public List<Double> readings(String appraiser, String unit) {
    return DoubleStream.of(cell(place(appraisers, appraiser), place(units, unit))).boxed().toList();
  }

  private static int place(List<String> names, String name) {
    int place = names.indexOf(name);
    if (place < 0) {
      throw new IllegalArgumentException("no " + name + " in the study");
    }
    return place;
  }

  double[] cell(int appraiser, int unit) {
    return values[appraiser][unit];
  }

  double[] ofAppraiser(int appraiser) {
    return flat(List.of(values[appraiser]));
  }

  double[] ofUnit(int unit) {
    List<double[]> cells = new ArrayList<>();
    for (double[][] rows : values) {
      cells.add(rows[unit]);
    }
    return flat(cells);
  }

  double[] all() {
    List<double[]> cells = new ArrayList<>();
    for (double[][] rows : values) {
      cells.addAll(List.of(rows));
    }
    return flat(cells);
  }

  private static double[] flat(List<double[]> cells) {
    return cells.stream().flatMapToDouble(DoubleStream::of).toArray();
  }
}
