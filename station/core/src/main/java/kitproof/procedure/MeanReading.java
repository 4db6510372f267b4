package kitproof.procedure;

import java.util.ArrayList;
import java.util.List;
import kitproof.signal.Spread;
import kitproof.value.Conditions;
import kitproof.value.Contribution;
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

  /** Of a standard deviation from so many readings, if they are normal (JCGM 100:2008, E.4.3). */
  private Contribution ofSpread(Quantity spread) {
    int degrees = values.size() - 1;
    return new Contribution(
        "number of readings",
        Contribution.Evaluation.TYPE_A,
        Contribution.Distribution.NORMAL,
        Contribution.Side.BOTH,
        spread.value() / Math.sqrt(2.0 * degrees),
        spread.unit(),
        1,
        degrees);
  }

  /**
   * Mean and spread as results.
   *
   * @param spreadName the spread's name; empty if it is not wanted
   * @param trust how well the meter is known
   */
  List<Measurement> results(
      String name, String spreadName, Conditions conditions, MeterTrust trust) {
    List<Measurement> results = new ArrayList<>();
    if (trouble.isEmpty()) {
      double[] readings = values.stream().mapToDouble(v -> v).toArray();
      Spread spread = Spread.of(readings);
      results.add(
          trust.known(
              Measurement.of(name, conditions, Quantity.of(spread.mean(), unit)), readings));
      if (!spreadName.isEmpty()) {
        results.add(
            trust.known(
                Measurement.of(
                    spreadName, conditions, Quantity.of(spread.standardDeviation(), unit)),
                value -> Budgeted.of(List.of(ofSpread(value)))));
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
