package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Objects;
import kitproof.value.Figure;
import kitproof.value.Measurement;
import kitproof.value.Uncertainty;
import kitproof.value.Unit;

/**
 * Holds results against the promise that each of them, and each point of it, is known. Only where a
 * curve is 0 dB by definition, at the tone that it is relative to, nothing is uncertain.
 */
final class KnownResults {
  private KnownResults() {}

  /** Each that is no invalid one, at least one of them; polarity is a yes or no and has none. */
  static void hold(List<Measurement> all) {
    assertThat(all).anyMatch(m -> !(m.figure() instanceof Figure.Invalid));
    for (Measurement each : all) {
      if (each.figure() instanceof Figure.Invalid || each.name().equals("polarity")) {
        assertThat(each.uncertainty()).as(each.title()).isNull();
        continue;
      }
      assertThat(each.uncertainty()).as(each.title() + ": " + each.note()).isNotNull();
      Uncertainty known = Objects.requireNonNull(each.uncertainty());
      assertThat(known.budget()).as(each.title()).isNotEmpty();
      assertThat(known.size())
          .isEqualTo(each.figure() instanceof Figure.OfCurve of ? of.curve().size() : 1);
      int references = 0;
      for (int i = 0; i < known.size(); i++) {
        String what = each.title() + ", point " + i + " of " + known.size();
        assertThat(known.below(i)).as(what).isNotNegative();
        assertThat(known.above(i)).as(what).isNotNegative();
        boolean byDefinition =
            each.figure() instanceof Figure.OfCurve of
                && of.curve().yUnit() == Unit.DECIBEL
                && of.curve().y(i) == 0;
        if (byDefinition) {
          assertThat(known.below(i) + known.above(i)).as(what).isZero();
          references++;
          continue;
        }
        assertThat(known.below(i) + known.above(i)).as(what).isPositive();
        assertThat(known.degreesOfFreedom(i)).as(what).isPositive();
      }
      assertThat(references).as(each.title()).isLessThanOrEqualTo(1);
    }
  }
}
