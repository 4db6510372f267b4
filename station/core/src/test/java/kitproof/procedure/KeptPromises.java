package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import kitproof.value.Conditions;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/** Holds what a procedure has measured against what it promised. */
final class KeptPromises {
  private KeptPromises() {}

  /**
   * Asserts that every promise was kept, in its place, and returns the figures by name.
   *
   * @param conditions of the step
   */
  static Map<String, Figure> figures(
      List<Measurement> measurements, List<Outline.Promise> promises, Conditions conditions) {
    assertThat(measurements).hasSameSizeAs(promises);
    Map<String, Figure> figures = new TreeMap<>();
    for (int i = 0; i < promises.size(); i++) {
      Outline.Promise promise = promises.get(i);
      Measurement measurement = measurements.get(i);
      assertThat(measurement.name()).isEqualTo(promise.name());
      assertThat(measurement.conditions()).isEqualTo(conditions.and(promise.more()));
      if (measurement.figure() instanceof Figure.OfQuantity one) {
        assertThat(promise.curve()).as(promise.name()).isFalse();
        if (promise.unit() != null) {
          assertThat(one.quantity().unit()).as(promise.name()).isEqualTo(promise.unit());
        }
      } else if (measurement.figure() instanceof Figure.OfCurve curve) {
        assertThat(promise.curve()).as(promise.name()).isTrue();
        if (promise.unit() != null) {
          assertThat(curve.curve().yUnit()).as(promise.name()).isEqualTo(promise.unit());
        }
      }
      figures.put(measurement.name(), measurement.figure());
    }
    return figures;
  }
}
