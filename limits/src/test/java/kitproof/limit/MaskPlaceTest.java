package kitproof.limit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class MaskPlaceTest {
  /** Open below at its lowest corner, closed on both sides above. */
  private static final Limit.Mask MASK =
      new Limit.Mask(
          List.of(
              new Limit.Point(hertz(10), null, decibels(1)),
              new Limit.Point(hertz(100), decibels(-1), decibels(1)),
              new Limit.Point(hertz(10_000), decibels(-3), decibels(2))));

  private static Quantity hertz(double value) {
    return Quantity.of(value, Unit.HERTZ);
  }

  private static Quantity decibels(double value) {
    return Quantity.of(value, Unit.DECIBEL);
  }

  @ParameterizedTest
  @CsvSource({"100, -1, 1", "1000, -2, 1.5", "10000, -3, 2"})
  void betweenCornersItIsALineOnTheAxisOfTheMask(double hz, double low, double high) {
    Limit.Scalar found = MaskPlace.of(MASK, hertz(hz)).orElseThrow();
    assertThat(found.low().value()).isCloseTo(low, within(1e-12));
    assertThat(found.high().value()).isCloseTo(high, within(1e-12));
  }

  @Test
  void aSideHoldsOnlyBetweenTwoCornersThatHaveIt() {
    Limit.Scalar found = MaskPlace.of(MASK, hertz(50)).orElseThrow();
    assertThat(found.low()).isNull();
    assertThat(found.high().value()).isEqualTo(1);
  }

  @Test
  void beyondTheMaskAndAlongAnotherUnitItSaysNothing() {
    assertThat(MaskPlace.of(MASK, hertz(9))).isEmpty();
    assertThat(MaskPlace.of(MASK, hertz(10_001))).isEmpty();
    assertThat(MaskPlace.of(MASK, Quantity.of(100, Unit.WATT))).isEmpty();
  }
}
