package kitproof.procedure;

import static kitproof.procedure.FormulaBench.number;
import static kitproof.procedure.FormulaBench.reason;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import java.util.Random;
import kitproof.signal.Levels;
import kitproof.value.Figure;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** A line of the station's own is not blamed on the unit, and hides none of it that is louder. */
class StationSpursTest {
  private static final double GAIN = 20;

  /** Of the input's full scale of 100 V peak: 7.07 mV. */
  private static final double SPUR = 1e-4;

  private final FormulaBench bench = new FormulaBench();

  @BeforeEach
  void knownSpurs() {
    bench.spurs.add(new StationSpur(13_300, SPUR, 0));
    bench.spurs.add(new StationSpur(9_100, 0, 1e-5));
  }

  /** A quiet unit with lines at these frequencies and rms volts, one after the other. */
  private void lines(double... hzAndVolts) {
    Random random = new Random(5);
    bench.left =
        samples -> {
          double[] out = new double[samples.length];
          for (int n = 0; n < out.length; n++) {
            out[n] = GAIN * samples[n] + 1e-5 * (2 * random.nextDouble() - 1);
            for (int k = 0; k < hzAndVolts.length; k += 2) {
              out[n] +=
                  Math.sqrt(2)
                      * hzAndVolts[k + 1]
                      * Math.sin(2 * Math.PI * hzAndVolts[k] * n / bench.sampleRate);
            }
          }
          return out;
        };
  }

  private Map<String, Figure> stability() throws Exception {
    return bench.measure("stability", "{power: 1 W}");
  }

  private String note() {
    return bench.measured.get(bench.measured.size() - 1).note();
  }

  @Test
  void aSpurOfTheInputIsPassedOverAndThatIsSaid() throws Exception {
    double volts = SPUR * 100 / Math.sqrt(2);
    lines(13_300, volts);
    Map<String, Figure> figures = stability();
    assertThat(reason(figures.get("stray line frequency"))).contains("no line stands out");
    assertThat(number(figures.get("stray line"))).isLessThan(-95);
    assertThat(note())
        .isEqualTo("a line of -43.0 dBV at 13.3 kHz is the station's own and passed over");
  }

  @Test
  void aSpurOfTheOutputIsAmplifiedByTheUnit() throws Exception {
    // 1e-5 of 10 V peak, 20 times more
    lines(9_100, GAIN * 1e-5 * 10 / Math.sqrt(2));
    assertThat(reason(stability().get("stray line frequency"))).contains("no line stands out");
  }

  @Test
  void aWeakerLineOfTheUnitIsFoundBesideTheSpur() throws Exception {
    lines(13_300, SPUR * 100 / Math.sqrt(2), 17_321, 1e-3);
    Map<String, Figure> figures = stability();
    assertThat(number(figures.get("stray line"))).isCloseTo(Levels.db(1e-3), within(0.05));
    assertThat(number(figures.get("stray line frequency"))).isCloseTo(17_321, within(4.0));
    assertThat(note()).contains("is the station's own");
  }

  @Test
  void whatIsLouderThanTheSpurIsTheUnitsAlsoAtItsFrequency() throws Exception {
    lines(13_300, 2 * SPUR * 100 / Math.sqrt(2));
    Map<String, Figure> figures = stability();
    assertThat(number(figures.get("stray line frequency"))).isCloseTo(13_300, within(4.0));
    assertThat(note()).isEmpty();
  }

  @Test
  void aStationOfWhichNoSpurIsKnownBlamesTheUnitAsBefore() throws Exception {
    bench.spurs.clear();
    lines(13_300, SPUR * 100 / Math.sqrt(2));
    assertThat(number(stability().get("stray line frequency"))).isCloseTo(13_300, within(4.0));
  }
}
