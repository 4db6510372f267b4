package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class DischargeFitTest {
  private static final String FILE = "discharge.csv";

  static Stream<String> cases() {
    List<String> cases =
        Reference.rows(FILE).stream().map(row -> row.get("case")).distinct().toList();
    assertThat(cases).hasSize(6);
    return cases.stream();
  }

  /** Source of the values: discharge.csv, V(t) = V0·exp(-t/RC) evaluated with SciPy. */
  @ParameterizedTest
  @MethodSource("cases")
  void a_capacitor_and_its_bleeder_give_their_time_constant(String name) {
    double tau = Reference.value(FILE, "case", name, "quantity", "tau_s");
    double start = Double.parseDouble(name.substring(3, name.indexOf(' ')));
    double[] seconds = new double[200];
    double[] volts = new double[200];
    for (int i = 0; i < seconds.length; i++) {
      seconds[i] = 3.3 * tau * i / seconds.length;
      volts[i] = start * Math.exp(-seconds[i] / tau);
    }
    DischargeFit fit = DischargeFit.of(seconds, volts);
    assertThat(fit.timeConstantSeconds()).isCloseTo(tau, within(1e-9 * tau));
    assertThat(fit.initialVolts()).isCloseTo(start, within(1e-9 * start));
    assertThat(fit.fitQuality()).isCloseTo(1, within(1e-12));
    assertThat(fit.pointsUsed()).isEqualTo(200);
    double expected = Reference.value(FILE, "case", name, "quantity", "t_to_60V_s");
    assertThat(fit.secondsTo(60)).isCloseTo(expected, within(1e-8 * expected));
    assertThat(DischargeFit.secondsBelow(seconds, volts, 60).orElseThrow())
        .isCloseTo(expected, within(1e-8 * expected));
  }

  /** Source of the values: the same file, readings at the listed times only. */
  @ParameterizedTest
  @MethodSource("cases")
  void the_published_readings_themselves_give_it_too(String name) {
    List<Map<String, String>> rows =
        Reference.rows(FILE).stream()
            .filter(row -> row.get("case").equals(name))
            .filter(row -> row.get("quantity").startsWith("V_at_"))
            .toList();
    double[] seconds =
        rows.stream()
            .mapToDouble(row -> Double.parseDouble(row.get("quantity").replaceAll("[^0-9.]", "")))
            .toArray();
    double[] volts =
        rows.stream().mapToDouble(row -> Double.parseDouble(row.get("value"))).toArray();
    double tau = Reference.value(FILE, "case", name, "quantity", "tau_s");
    assertThat(seconds).hasSizeGreaterThanOrEqualTo(6);
    assertThat(DischargeFit.of(seconds, volts).timeConstantSeconds())
        .isCloseTo(tau, within(1e-7 * tau));
  }

  @Test
  void the_tail_where_only_the_meter_s_offset_is_left_does_not_bend_the_line() {
    double[] seconds = new double[100];
    double[] volts = new double[100];
    for (int i = 0; i < 100; i++) {
      seconds[i] = i;
      volts[i] = 400 * Math.exp(-i / 8.0) + 0.05 * (i % 2 == 0 ? 1 : -1);
    }
    assertThat(DischargeFit.of(seconds, volts).timeConstantSeconds()).isCloseTo(8, within(0.02));
  }

  @Test
  void a_crossing_counts_only_when_it_is_for_good() {
    double[] seconds = {0, 1, 2, 3, 4};
    double[] readings = {100, 50, 70, 40, 0};
    assertThat(DischargeFit.secondsBelow(seconds, readings, 60).orElseThrow())
        .isCloseTo(2 + Math.log(70 / 60.0) / Math.log(70 / 40.0), within(1e-12));
    assertThat(DischargeFit.secondsBelow(seconds, readings, 10).orElseThrow())
        .isCloseTo(3.75, within(1e-12));
    assertThat(DischargeFit.secondsBelow(seconds, readings, 200)).hasValue(0);
    assertThat(DischargeFit.secondsBelow(seconds, new double[] {9, 8, 7, 6, 5}, 4)).isEmpty();
  }

  @Test
  void what_is_no_discharge_is_refused_with_the_reason() {
    assertThatIllegalArgumentException()
        .isThrownBy(() -> DischargeFit.of(new double[0], new double[0]))
        .withMessageContaining("0 samples");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> DischargeFit.of(new double[] {1}, new double[] {1}))
        .withMessageContaining("1 samples");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> DischargeFit.of(new double[] {0, 1, 2}, new double[] {5, 5, 5}))
        .withMessageContaining("no discharge");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> DischargeFit.of(new double[] {0, 0}, new double[] {5, 4}))
        .withMessageContaining("time does not rise");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> DischargeFit.of(new double[] {0, 1}, new double[] {5, 4, 3}))
        .withMessageContaining("2 times and 3 values");
  }
}
