package kitproof.procedure;

import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/** What makes a figure impossible is told in its place, and never quietly a number. */
class NoFigureTest {
  private static final String GAIN = "power: 1 W\n";
  private static final String DISTORTION = "{power: 1 W, harmonics: 5, listen: 100 ms}";
  private static final String RESPONSE = "{power: 1 W, band: 20 Hz..20 kHz, sweep: 1 s}";

  private final FormulaBench bench = new FormulaBench();

  static Stream<Arguments> procedures() {
    return Stream.of(
        Arguments.of("gain", GAIN),
        Arguments.of("distortion", DISTORTION),
        Arguments.of("frequency-response", RESPONSE));
  }

  private void allInvalid(String procedure, String settings, String reason) throws Exception {
    assertThat(bench.measure(procedure, settings).values())
        .isNotEmpty()
        .allSatisfy(figure -> assertThat(reason(figure)).contains(reason));
  }

  @ParameterizedTest
  @MethodSource("procedures")
  void aClippedCaptureYieldsNoFigure(String procedure, String settings) throws Exception {
    // The target fits into the input, but the unit's output has a peak that does not.
    bench.inputPeak = 4.2;
    bench.left = FormulaBench.curve(x -> 20 * x + (x > 0.05 ? 4.2 : 0));
    allInvalid(procedure, settings, "the capture reached full scale");
  }

  @ParameterizedTest
  @MethodSource("procedures")
  void lostSamplesYieldNoFigure(String procedure, String settings) throws Exception {
    bench.left = FormulaBench.curve(x -> 20 * x);
    bench.lost = true;
    allInvalid(procedure, settings, "samples were lost in the capture");
  }

  @ParameterizedTest
  @MethodSource("procedures")
  void aSilentUnitYieldsNoFigure(String procedure, String settings) throws Exception {
    bench.left = FormulaBench.curve(x -> 0);
    allInvalid(procedure, settings, "with the highest drive of 7.071 V the output is nothing");
  }

  @ParameterizedTest
  @MethodSource("procedures")
  void aUnitThatOnlyHissesYieldsNoFigure(String procedure, String settings) throws Exception {
    Random random = new Random(3);
    bench.left = FormulaBench.curve(x -> random.nextGaussian());
    allInvalid(procedure, settings, "is not reached");
  }

  @ParameterizedTest
  @MethodSource("procedures")
  void tooLittleGainYieldsNoFigure(String procedure, String settings) throws Exception {
    bench.left = FormulaBench.curve(x -> 0.1 * x);
    allInvalid(
        procedure,
        settings,
        "1 W (2.828 V) is not reached: with the highest drive of 7.071 V the output is 0.707 V");
  }

  @ParameterizedTest
  @MethodSource("procedures")
  void aUnitThatLimitsBelowThePowerYieldsNoFigure(String procedure, String settings)
      throws Exception {
    bench.left = FormulaBench.curve(x -> 2 * Math.tanh(20 * x));
    allInvalid(procedure, settings, "1 W (2.828 V) is not reached");
  }

  @ParameterizedTest
  @MethodSource("procedures")
  void aPowerBeyondTheInputIsToldBeforeAnythingIsPlayed(String procedure, String settings)
      throws Exception {
    bench.inputPeak = 3.9;
    bench.left =
        samples -> {
          throw new AssertionError("nothing is to be played");
        };
    allInvalid(
        procedure, settings, "1 W needs 2.828 V at the output, more than the interface's input");
  }

  @Test
  void aToneOrABandBeyondTheInterfaceYieldsNoFigure() throws Exception {
    bench.left = FormulaBench.curve(x -> 20 * x);
    allInvalid(
        "gain", "{power: 1 W, frequency: 23 kHz}", "23000 Hz is too near half of the interface's");
    allInvalid(
        "distortion",
        "{power: 1 W, band: 20 Hz..45 kHz}",
        "reaches beyond half of the interface's");
  }

  @Test
  void harmonicsAboveTheCaptureYieldNoFigureButTheOthersDo() throws Exception {
    bench.left = FormulaBench.curve(x -> 20 * x + x * x);
    Map<String, Figure> figures =
        bench.measure("distortion", "{power: 1 W, frequency: 9 kHz, harmonics: 3}");
    assertThat(number(figures.get("harmonic 2"))).isBetween(-60.0, -20.0);
    assertThat(reason(figures.get("harmonic 3")))
        .isEqualTo("it does not lie within the measuring band and below half the sample rate");
  }

  @Test
  void aDistortionOfWhichNoHarmonicIsCountedIsNotZero() throws Exception {
    bench.left = FormulaBench.curve(x -> 20 * x + x * x);
    Map<String, Figure> figures = bench.measure("distortion", "{power: 1 W, frequency: 11 kHz}");
    assertThat(reason(figures.get("thd"))).startsWith("no harmonic lies within the measuring band");
  }

  @Test
  void aGainSaysAtWhichFrequencyItHolds() throws Exception {
    var settings =
        new GainProcedure.Settings("audio", Quantity.of(1, Unit.WATT), Quantity.of(50, Unit.HERTZ));
    assertThat(new GainProcedure().outline(settings).promises())
        .extracting(p -> p.more().toString())
        .containsExactly("power 1 W, frequency 50 Hz");
  }
}
