package kitproof.screen;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.Optional;
import kitproof.driver.LiveValue;
import kitproof.driver.Question;
import kitproof.driver.Reading;
import kitproof.value.Quantity;
import kitproof.value.QuantityRange;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class BarsTest {
  private static final Watched.Source METER = new Watched.Source("hv-meter", "hv");

  private static RunView.LiveView bar(String value, String low, String high) {
    return Bars.of(
        new Watched.Bounded(
            METER,
            low == null ? null : Quantity.parse(low),
            high == null ? null : Quantity.parse(high)),
        new Reading.Value(Quantity.parse(value)));
  }

  @ParameterizedTest
  @CsvSource({
    "330 V, 318 V, 348 V, inside",
    "318 V, 318 V, 348 V, inside",
    "317 V, 318 V, 348 V, too low",
    "349 V, 318 V, 348 V, too high",
    "349 V, , 348 V, too high",
    "349 V, 318 V, , inside",
    "349 V, , , ''",
    "0.3 A, 318 V, 348 V, ''",
  })
  void aReadingIsSaidAgainstItsLimits(String value, String low, String high, String where) {
    assertThat(bar(value, low, high).where()).isEqualTo(where);
  }

  @ParameterizedTest
  @CsvSource({"1 V, 0.3333", "2 V, 0.6667", "1.5 V, 0.5", "-9 V, 0", "9 V, 1"})
  void theBarReachesAWidthBeyondItsLimitsAndNoFurther(String value, double at) {
    RunView.LiveView bar = bar(value, "1 V", "2 V");
    assertThat(bar.at()).isCloseTo(at, within(1e-3));
    assertThat(bar.from()).isCloseTo(1 / 3.0, within(1e-9));
    assertThat(bar.to()).isCloseTo(2 / 3.0, within(1e-9));
  }

  @ParameterizedTest
  @CsvSource({"0.1 V, , 0.6 V", "5 V, 3 V,", "-80 dB, , -60 dB", "0 V, , 0 V", "-1 V, -2 V,"})
  void aLimitOfOneSideHasABarToo(String value, String low, String high) {
    RunView.LiveView bar = bar(value, low, high);
    assertThat(bar.where()).isEqualTo("inside");
    assertThat(bar.at()).isBetween(bar.from(), bar.to());
    assertThat(bar.from()).isLessThan(bar.to());
  }

  @Test
  void whatIsNoValueIsSaid() {
    Watched.Bounded bounded = new Watched.Bounded(METER, null, null);
    assertThat(Bars.of(bounded, new Reading.Overload(true)).value())
        .isEqualTo("overload, negative");
    assertThat(Bars.of(bounded, new Reading.NotANumber()).value()).isEqualTo("no number");
    Question.Adjustment adjustment =
        new Question.Adjustment(
            "turn",
            "",
            "trimmer",
            QuantityRange.parse("8 V..9 V", Unit.VOLT),
            Duration.ofSeconds(3));
    assertThat(Bars.of(adjustment, Optional.empty()).value()).isEqualTo("waiting for a reading");
    LiveValue silent = new LiveValue(Optional.empty(), "overload", false, Duration.ZERO);
    assertThat(Bars.of(adjustment, Optional.of(silent)).value()).isEqualTo("overload");
    assertThat(Bars.of(adjustment, Optional.of(silent)).low()).isEqualTo("8 V");
  }
}
