package kitproof.procedure;

import static kitproof.procedure.FormulaBench.curve;
import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import java.util.function.UnaryOperator;
import kitproof.value.Curve;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Dividers in closed form: an e.m.f. behind an impedance, a source before an input. */
class ImpedanceProceduresTest {
  private static final String OUTPUT =
      "{power: 1 W, second-load: \"left, second load\", nominal-load: 8 ohm, sweep: 1 s}";
  static final String INPUT =
      "{power: 1 W, through-resistor: \"inputs through 47 kohm\", resistor: 47 kohm,"
          + " source: 100 ohm, sweep: 1 s}";
  private final FormulaBench bench = new FormulaBench();

  private static UnaryOperator<double[]> gain(double gain) {
    return FormulaBench.curve(x -> gain * x);
  }

  @ParameterizedTest
  @CsvSource({"2", "8", "20"})
  void theDampingFactorIsFoundFromTwoLoads(double factor) throws Exception {
    double source = 8 / factor;
    bench.left = gain(20 * 8.02 / (8.02 + source));
    bench.load = Quantity.of(8.02, Unit.OHM);
    bench.otherLeft = gain(20 * 5.97 / (5.97 + source));
    bench.otherLoad = Quantity.of(5.97, Unit.OHM);
    Map<String, Figure> figures = bench.measure("output-impedance", OUTPUT);
    assertThat(bench.rerouted).containsExactly("left, second load");
    assertThat(number(figures.get("damping factor at 1 kHz")))
        .isCloseTo(factor, within(factor * 0.001));
    assertThat(number(figures.get("output impedance at 1 kHz")))
        .isCloseTo(source, within(source * 0.001));
    Curve factors = curve(figures.get("damping factor"));
    assertThat(factors.x(0)).isEqualTo(20);
    assertThat(factors.ys()).usingComparatorWithPrecision(factor / 100).containsOnly(factor);
    assertThat(curve(figures.get("output impedance phase")).ys())
        .usingComparatorWithPrecision(0.5)
        .containsOnly(0);
  }

  @Test
  void theInputImpedanceIsFoundFromAResistorInSeries() throws Exception {
    double input = 100e3;
    bench.left = gain(20 * input / (input + 100));
    bench.otherLeft = gain(20 * input / (input + 100 + 47e3));
    Map<String, Figure> figures = bench.measure("input-impedance", INPUT);
    assertThat(bench.rerouted).containsExactly("inputs through 47 kohm");
    assertThat(number(figures.get("input impedance at 1 kHz")))
        .isCloseTo(input, within(input * 0.001));
    assertThat(curve(figures.get("input impedance")).ys())
        .usingComparatorWithPrecision(input * 0.005)
        .containsOnly(input);
  }

  @Test
  void whatCannotBeMeasuredIsInvalidEachWithTheReason() throws Exception {
    bench.left = gain(0);
    for (String procedure : new String[] {"output-impedance", "input-impedance"}) {
      Map<String, Figure> figures =
          bench.measure(procedure, procedure.startsWith("output") ? OUTPUT : INPUT);
      assertThat(figures.values())
          .isNotEmpty()
          .allSatisfy(f -> assertThat(reason(f)).contains("is not reached"));
      assertThat(bench.rerouted).as("nothing switched in vain").isEmpty();
    }
  }

  @Test
  void aSecondLoadThatClipsTheCaptureOrLosesTheSignalIsTold() throws Exception {
    bench.left = gain(20);
    bench.otherLeft = gain(0);
    assertThat(reason(bench.measure("input-impedance", INPUT).get("input impedance"))).isNotBlank();
    bench.otherLeft = gain(20); // no difference: no impedance to be seen
    assertThat(reason(bench.measure("input-impedance", INPUT).get("input impedance")))
        .contains("no impedance follows");
    assertThat(reason(bench.measure("output-impedance", OUTPUT).get("damping factor")))
        .contains("no damping factor");
  }
}
