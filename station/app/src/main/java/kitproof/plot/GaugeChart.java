package kitproof.plot;

import java.util.List;
import kitproof.value.Unit;
import org.jspecify.annotations.Nullable;

/**
 * What a picture of a gauge study shows of one result.
 *
 * @param title of the result
 * @param under what it holds under
 * @param unit of all values
 * @param units on the axis of the left panel
 * @param appraisers a colour each, and the axis of the right panel
 * @param readings every one
 * @param low lowest good value, or null
 * @param high highest good value, or null
 * @param parts of the spread, from the station's to the units'
 */
public record GaugeChart(
    String title,
    String under,
    Unit unit,
    List<String> units,
    List<String> appraisers,
    List<Reading> readings,
    @Nullable Double low,
    @Nullable Double high,
    List<Part> parts) {
  public GaugeChart {
    units = List.copyOf(units);
    appraisers = List.copyOf(appraisers);
    readings = List.copyOf(readings);
    parts = List.copyOf(parts);
  }

  /** One reading. */
  public record Reading(String unit, String appraiser, double value) {}

  /**
   * A part of the spread as a standard deviation.
   *
   * @param ofTheStation whether it is the station's own, not the units'
   * @param low where it may as well be
   * @param high likewise
   * @param words value and bounds for people
   */
  public record Part(
      String name, boolean ofTheStation, double value, double low, double high, String words) {}
}
