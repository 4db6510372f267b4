package kitproof.procedure;

import static org.assertj.core.api.Assertions.assertThat;

import kitproof.value.Curve;
import kitproof.value.Unit;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A waveform reaches to the end that it was asked for, so that a mask can. */
class TracesTest {
  @ParameterizedTest
  @CsvSource({"44100", "48000", "96000", "192000", "384000", "768000"})
  void itReachesItsEndAtAnyRate(double rate) {
    Curve curve = FormulaBench.curve(Traces.of(new double[8000], 100, 0.003, rate, 1, Unit.VOLT));
    assertThat(curve.x(curve.size() - 1)).isBetween(0.003, 0.003 + 0.00003);
    assertThat(curve.size()).isLessThanOrEqualTo(602);
  }

  @ParameterizedTest
  @CsvSource({"100, 99", "1000, 600"})
  void itEndsWhereTheSamplesDo(int samples, int points) {
    Curve curve = FormulaBench.curve(Traces.of(new double[samples], 1, 1, 1000, 1, Unit.VOLT));
    assertThat(curve.x(curve.size() - 1)).isLessThanOrEqualTo((samples - 2) / 1000.0);
    assertThat(curve.size()).isBetween(points / 2, points);
  }
}
