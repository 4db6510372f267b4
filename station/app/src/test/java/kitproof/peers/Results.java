package kitproof.peers;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import kitproof.journal.RunRecord;
import kitproof.value.Conditions;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Measurement;

/** Finds results in a record. */
final class Results {
  private Results() {}

  /** The value of the one result of this name, in its own unit. */
  static double value(RunRecord record, String name) {
    return value(record, name, Conditions.NONE);
  }

  /** The value of the one result of this name under these conditions and any more. */
  static double value(RunRecord record, String name, Conditions when) {
    Figure figure = one(record, name, when).figure();
    assertThat(figure).as(name).isInstanceOf(Figure.OfQuantity.class);
    return ((Figure.OfQuantity) figure).quantity().value();
  }

  /** The one curve of this name. */
  static Curve curve(RunRecord record, String name) {
    Figure figure = one(record, name, Conditions.NONE).figure();
    assertThat(figure).as(name).isInstanceOf(Figure.OfCurve.class);
    return ((Figure.OfCurve) figure).curve();
  }

  private static Measurement one(RunRecord record, String name, Conditions when) {
    List<Measurement> found =
        record.steps().stream()
            .flatMap(step -> step.results().stream())
            .map(RunRecord.Result::measurement)
            .filter(m -> m.name().equals(name) && m.conditions().satisfy(when))
            .toList();
    assertThat(found).as("%s in %s", name, record.steps()).hasSize(1);
    return found.get(0);
  }
}
