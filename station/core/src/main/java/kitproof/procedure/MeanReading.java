package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import kitproof.signal.Spread;
import kitproof.value.Conditions;
import kitproof.value.Measurement;
import kitproof.value.Quantity;
import kitproof.value.Unit;

/**
 * The mean of readings, and their spread (sample standard deviation).
 *
 * @param values of the readings
 * @param unit of all of them
 * @param trouble why there is no mean; empty if there is
 */
record MeanReading(List<Double> values, Unit unit, String trouble) {
  MeanReading {
    values = List.copyOf(values);
  }

  /** Of these readings. */
  static MeanReading of(List<Meters.Sample> samples) {
    List<Double> values = new ArrayList<>();
    Unit unit = Unit.ONE;
    String trouble = "";
    for (Meters.Sample sample : samples) {
      if (sample.good()) {
        values.add(sample.quantity().value());
        unit = sample.quantity().unit();
      } else if (trouble.isEmpty()) {
        trouble = sample.trouble();
      }
    }
    return new MeanReading(values, unit, trouble);
  }

  /**
   * Mean and spread as results.
   *
   * @param spreadName the spread's name; empty if it is not wanted
   */
  List<Measurement> results(String name, String spreadName, Conditions conditions) {
    List<Measurement> results = new ArrayList<>();
    if (trouble.isEmpty()) {
      Spread spread = Spread.of(values.stream().mapToDouble(v -> v).toArray());
      results.add(Measurement.of(name, conditions, Quantity.of(spread.mean(), unit)));
      if (!spreadName.isEmpty()) {
        results.add(
            Measurement.of(spreadName, conditions, Quantity.of(spread.standardDeviation(), unit)));
      }
    } else {
      results.add(Measurement.invalid(name, conditions, trouble));
      if (!spreadName.isEmpty()) {
        results.add(Measurement.invalid(spreadName, conditions, trouble));
      }
    }
    return results;
  }
}
