package kitproof.plot;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class AxisTest {
  private static List<String> labels(Axis axis) {
    return axis.ticks().stream().map(Axis.Tick::label).filter(l -> !l.isEmpty()).toList();
  }

  @Test
  void aFrequencyAxisHasTheTradesTicks() {
    Axis axis = Axis.logarithmic(Unit.HERTZ, 20, 20_000);
    assertThat(labels(axis))
        .containsExactly("20", "50", "100", "200", "500", "1k", "2k", "5k", "10k", "20k");
    assertThat(axis.ticks()).hasSize(8 + 9 + 9 + 2);
    assertThat(axis.position(20)).isZero();
    assertThat(axis.position(20_000)).isEqualTo(1);
    assertThat(axis.position(Math.sqrt(20 * 20_000.0))).isCloseTo(0.5, within(1e-12));
  }

  @Test
  void overManyDecadesOnlyTheDecadesAreLabelled() {
    assertThat(labels(Axis.logarithmic(Unit.HERTZ, 1, 100_000)))
        .containsExactly("1", "10", "100", "1k", "10k", "100k");
  }

  @ParameterizedTest
  @CsvSource({
    "0.013, 4.2, 0.01, 5",
    "0.01, 5, 0.01, 5",
    "0.3, 0.7, 0.2, 1",
    "5.1, 9, 5, 10",
    "0.2, 0.2, 0.2, 0.5"
  })
  void aLogarithmicAxisAroundValuesEndsAtOneTwoOrFive(
      double low, double high, double from, double to) {
    Axis axis = Axis.logarithmicAround(Unit.PERCENT, low, high);
    assertThat(axis.low()).isCloseTo(from, within(1e-12));
    assertThat(axis.high()).isCloseTo(to, within(1e-9));
  }

  @ParameterizedTest
  @CsvSource({
    "-3.2, 0.9, -4, 1",
    "0, 331, 0, 350",
    "-0.04, 0.03, -0.04, 0.03",
    "5, 5, 4.4, 5.6",
    "0, 0, -1e-9, 1e-9",
    "-1e-4, 2.5e-4, -1e-4, 2.5e-4"
  })
  void aLinearAxisAroundValuesBeginsAndEndsAtATick(
      double low, double high, double from, double to) {
    Axis axis = Axis.linearAround(Unit.DECIBEL, low, high);
    assertThat(axis.low()).isCloseTo(from, within(1e-12));
    assertThat(axis.high()).isCloseTo(to, within(1e-12));
    assertThat(axis.ticks().get(0).value()).isCloseTo(axis.low(), within(1e-12));
    assertThat(axis.ticks().get(axis.ticks().size() - 1).value())
        .isCloseTo(axis.high(), within(1e-12));
    assertThat(axis.ticks()).hasSizeBetween(3, 10);
  }

  @ParameterizedTest
  @CsvSource({
    "VOLT, 0, 0.004, voltage (mV), 0 1 2 3 4",
    "VOLT, 0, 4, voltage (V), 0 1 2 3 4",
    "OHM, 0.5, 2, impedance (ohm), 0.5 1.0 1.5 2.0",
    "OHM, 80e3, 120e3, impedance (kohm), 80 90 100 110 120",
    "SECOND, 0, 20e-6, time (µs), 0 5 10 15 20",
    "WATT, 74.231, 74.259, power (W), 74.230 74.235 74.240 74.245 74.250 74.255 74.260",
    "DEGREE, -0.02, 0.02, phase (deg), -0.02 -0.01 0 0.01 0.02"
  })
  void aLinearAxisHasOnePrefixInItsTitleAndAsManyDecimalsAsItsTicksNeed(
      Unit unit, double low, double high, String title, String ticks) {
    Axis axis = Axis.linearAround(unit, low, high);
    assertThat(String.join(" ", labels(axis))).isEqualTo(ticks);
    assertThat(Frame.title(axis)).isEqualTo(title);
  }

  @Test
  void aPowerBelowOneWattIsADecimalNumber() {
    assertThat(labels(Axis.logarithmic(Unit.WATT, 0.05, 10)))
        .containsExactly("0.05", "0.1", "0.2", "0.5", "1", "2", "5", "10");
  }
}
