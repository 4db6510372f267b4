package kitproof.report;

import static org.assertj.core.api.Assertions.assertThat;

import kitproof.limit.Limit;
import kitproof.value.Conditions;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class WordingTest {
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "-60.1 dB|\u221260.1\u00a0dB",
        "at 20 Hz: -4.5 dB is below -3 dB|at 20\u00a0Hz: \u22124.5\u00a0dB is below"
            + " \u22123\u00a0dB",
        "tap 8 ohm|tap 8\u00a0\u03a9",
        "-857.9 uW|\u2212857.9\u00a0\u00b5W",
        "3 u|3 u",
        "2.2 kohm|2.2\u00a0k\u03a9",
        "LN12-001|LN12-001",
        "20261125T101500.123Z-LN12-001|20261125T101500.123Z-LN12-001",
        "45 deg|45\u00b0",
        "0.15 %|0.15\u00a0%",
        "3 Watts Lane|3 Watts Lane",
        "sha256:0-1|sha256:0-1"
      })
  void wordsAreSetAsTypesettersDo(String text, String set) {
    assertThat(Wording.set(text)).isEqualTo(set);
  }

  @Test
  void conditionsThatSpeakForThemselvesGoWithoutTheirName() {
    assertThat(
            Wording.of(
                Conditions.of("mode", "triode").with("tap", "8 ohm").with("channel", "left")))
        .isEqualTo("triode \u00b7 tap 8\u00a0\u03a9 \u00b7 left");
  }

  @Test
  void limitsAreSigns() {
    Quantity one = Quantity.of(1, Unit.VOLT);
    Quantity two = Quantity.of(2, Unit.VOLT);
    assertThat(Wording.of(new Limit.Scalar(one, two))).isEqualTo("1\u00a0V to\u00a02\u00a0V");
    assertThat(Wording.of(new Limit.Scalar(one, null))).isEqualTo("\u2265\u00a01\u00a0V");
    assertThat(Wording.of(new Limit.Scalar(null, two))).isEqualTo("\u2264\u00a02\u00a0V");
    assertThat(Wording.of((Limit) null)).isEmpty();
  }
}
