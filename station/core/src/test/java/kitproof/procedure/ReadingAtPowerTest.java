package kitproof.procedure;

import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.util.Map;
import kitproof.driver.Reading;
import kitproof.value.Figure;
import kitproof.value.Quantity;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

/** A meter read while a tone is held, on an amplifier of a formula. */
class ReadingAtPowerTest {
  private static final double GAIN = 20;
  private static final String SETTINGS =
      "{power: 2 W, meter: meter, function: hv, result: mains power, settle: 2 s, count: 4}";

  private final FormulaBench bench = new FormulaBench();
  private double loudest;

  ReadingAtPowerTest() {
    bench.left =
        samples -> {
          double[] out = FormulaBench.curve(x -> GAIN * x).apply(samples);
          for (double volts : out) {
            loudest = Math.max(loudest, Math.abs(volts));
          }
          return out;
        };
  }

  private static Reading watts(double watts) {
    return new Reading.Value(Quantity.of(watts, Unit.WATT));
  }

  /** Closed form: mean 72 and deviation sqrt((9 + 1 + 1 + 9) / 3) of 69, 71, 73, 75. */
  @Test
  void meanAndSpreadAreThoseOfTheReadingsUnderDrive() throws Exception {
    bench.readings(watts(10), watts(69), watts(71), watts(73), watts(75), watts(1000));
    Map<String, Figure> figures = bench.measure("reading-at-power", SETTINGS);
    assertThat(number(figures.get("mains power"))).isCloseTo(72, within(1e-9));
    assertThat(number(figures.get("mains power spread")))
        .isCloseTo(Math.sqrt(20.0 / 3), within(1e-9));
    assertThat(bench.measured.get(0).conditions().values())
        .containsEntry("power", "2 W")
        .containsEntry("frequency", "1 kHz");
    double peak = Math.sqrt(2 * 2 * 8); // of 2 W in 8 ohm
    assertThat(loudest).isBetween(peak * 0.998, peak);
  }

  /** Two seconds to settle, four readings of half a second: the tone is on for all of them. */
  @Test
  void theToneLastsAsLongAsTheReadingsTake() throws Exception {
    bench.beside.readingTime = Duration.ofMillis(500);
    bench.beside.beyondSignal = Duration.ofMillis(700);
    bench.readings(watts(70));
    assertThat(number(bench.measure("reading-at-power", SETTINGS).get("mains power")))
        .isEqualTo(70);
    assertThat(bench.beside.held).hasSizeBetween(2, 3).allMatch(seconds -> seconds < 6);
    assertThat(bench.beside.held.stream().mapToDouble(s -> s).sum()).isGreaterThan(2 + 4 * 0.5);
  }

  @Test
  void aMeterThatIsNeverReadInTimeGivesNoFigure() throws Exception {
    bench.beside.slowing = 5;
    bench.readings(watts(70));
    assertThat(reason(bench.measure("reading-at-power", SETTINGS).get("mains power")))
        .isEqualTo("only 3 of 4 readings were taken while the tone was on");
  }

  @Test
  void readingsAtAnotherPowerThanStatedAreNone() throws Exception {
    // From half a second of a tone on the unit gives 3 % less: it sags under load.
    bench.left =
        samples -> {
          double[] out = FormulaBench.curve(x -> GAIN * x).apply(samples);
          for (int i = (int) (0.5 * bench.sampleRate); i < out.length; i++) {
            out[i] *= 0.97;
          }
          return out;
        };
    bench.readings(watts(70));
    assertThat(reason(bench.measure("reading-at-power", SETTINGS).get("mains power spread")))
        .isEqualTo("the output did not stay at 2 W: it went to 1.88 W");
  }

  @Test
  void anOverloadIsNoFigure() throws Exception {
    bench.readings(watts(70), watts(70), new Reading.Overload(false), watts(70));
    assertThat(reason(bench.measure("reading-at-power", SETTINGS).get("mains power")))
        .isEqualTo("the meter shows overload (positive)");
  }

  @Test
  void aPowerThatIsNotReachedIsNotRead() throws Exception {
    bench.drivePeak = 0.1;
    bench.readings(watts(70));
    assertThat(reason(bench.measure("reading-at-power", SETTINGS).get("mains power")))
        .contains("is not reached");
    assertThat(bench.beside.held).isEmpty();
  }
}
