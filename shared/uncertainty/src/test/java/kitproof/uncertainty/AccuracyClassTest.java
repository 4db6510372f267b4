package kitproof.uncertainty;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class AccuracyClassTest {
  @ParameterizedTest
  @CsvSource({
    "±(0.05 % + 3 digits),        100, 0, 0.01, 0.08",
    "+/-(0.05% + 3 counts),       -100, 0, 0.01, 0.08",
    "0.5 %,                       20, 0, 0, 0.1",
    "±0.5 % of range,             20, 300, 0, 1.5",
    "±(0.1 % of reading + 50 ppm of range + 2 mV), 10, 100, 0, 0.017",
    "±2 mV,                       10, 0, 0, 0.002",
    "±(1 digit),                  10, 0, 0.1, 0.1",
    "(.8 percent + 5 digits),     1, 0, 0.001, 0.013",
  })
  void largestErrors(String text, double reading, double range, double resolution, double error) {
    AccuracyClass read = AccuracyClass.parse(text);
    assertThat(read.largestError(reading, range, resolution)).isCloseTo(error, within(1e-12));
    assertThat(AccuracyClass.parse(read.toString())).isEqualTo(read);
    assertThat(read.contribution("meter", reading, range, resolution, Unit.VOLT).standard())
        .isCloseTo(error / Math.sqrt(3), within(1e-12));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "±",
        "good",
        "±(0.05 % + 3 digits",
        "0.05 % + 3 digits)",
        "0.05",
        "±0.05 % + ",
        "0 %",
        "-0.05 %",
        "±(0.05 % of scale)",
        "3 digits of range",
        "2 mX",
        "0.05 % - 3 digits",
        "1e400 %",
        "± ± 1 %",
        "5 % % ",
        "2 mV of reading"
      })
  void whatIsNoLimitOfErrorIsRefusedWithAnExample(String text) {
    assertThatThrownBy(() -> AccuracyClass.parse(text))
        .as(text)
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessageContaining("±(0.05 % + 3 digits)");
  }

  @Test
  void theMessageNamesTheTerm() {
    assertThatThrownBy(() -> AccuracyClass.parse("±(0.05 % + 3 dogits)"))
        .hasMessageContaining("\"3 dogits\" is no term");
  }

  @Test
  void whatATermNeedsMustBeGiven() {
    AccuracyClass read = AccuracyClass.parse("±(0.1 % of range + 2 digits + 1 mA)");
    assertThat(read.needsRange()).isTrue();
    assertThat(read.needsResolution()).isTrue();
    assertThat(read.notIn(Unit.VOLT)).hasSize(1);
    assertThat(read.notIn(Unit.AMPERE)).isEmpty();
    assertThatThrownBy(() -> read.largestError(1, 0, 0.1)).hasMessageContaining("range");
    assertThatThrownBy(() -> read.largestError(1, 10, 0)).hasMessageContaining("resolution");
  }
}
