package kitproof.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;
import static org.assertj.core.api.Assertions.within;

import kitproof.value.Curve;
import kitproof.value.Unit;
import org.junit.jupiter.api.Test;

class ResponseFiguresTest {
  private static Curve curve(double[] hz, double[] db) {
    return Curve.of(Unit.HERTZ, hz, Unit.DECIBEL, db);
  }

  /** First-order high-pass at 10 Hz and low-pass at 40 kHz: -3.0103 dB there by definition. */
  private static Curve amplifier(int pointsPerOctave) {
    double[] hz = ResponseFigures.logSpaced(3, 90000, pointsPerOctave);
    double[] db = new double[hz.length];
    for (int i = 0; i < hz.length; i++) {
      double low = 10 / hz[i];
      double high = hz[i] / 40000;
      db[i] = 20 - 10 * Math.log10((1 + low * low) * (1 + high * high));
    }
    return curve(hz, db);
  }

  @Test
  void corners_of_a_band_pass_are_found() {
    Curve curve = amplifier(48);
    double drop = 10 * Math.log10(2);
    assertThat(ResponseFigures.lowerCornerHz(curve, drop, 1000).orElseThrow())
        .isCloseTo(10, within(0.01));
    assertThat(ResponseFigures.upperCornerHz(curve, drop, 1000).orElseThrow())
        .isCloseTo(40000, within(40.0));
    assertThat(ResponseFigures.levelDb(ResponseFigures.relativeTo(curve, 1000), 1000))
        .isCloseTo(0, within(1e-12));
  }

  @Test
  void a_corner_lies_on_the_straight_line_over_the_logarithm_of_frequency() {
    Curve curve = curve(new double[] {10, 100, 1000, 10000}, new double[] {-4, 0, 0, -8});
    assertThat(ResponseFigures.lowerCornerHz(curve, 1, 1000).orElseThrow())
        .isCloseTo(Math.pow(10, 1.75), within(1e-9));
    assertThat(ResponseFigures.upperCornerHz(curve, 2, 1000).orElseThrow())
        .isCloseTo(Math.pow(10, 3.25), within(1e-9));
    assertThat(ResponseFigures.lowerCornerHz(curve, 5, 1000)).isEmpty();
    // A reference between points is read off the same line.
    assertThat(ResponseFigures.upperCornerHz(curve, 1, Math.sqrt(1e7)).orElseThrow())
        .isCloseTo(Math.pow(10, 3.625), within(1e-6));
  }

  @Test
  void the_reference_must_lie_on_the_curve() {
    Curve curve = curve(new double[] {10, 100}, new double[] {0, 0});
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ResponseFigures.lowerCornerHz(curve, 3, 1000))
        .withMessageContaining("1000.0 Hz is outside");
    assertThatIllegalArgumentException()
        .isThrownBy(() -> ResponseFigures.levelDb(curve(new double[0], new double[0]), 1000));
  }

  @Test
  void an_inverted_phase_is_told_as_180_from_whichever_side_it_comes() {
    double[] hz = {20, 1000, 20000};
    for (double[] found : new double[][] {{-179, -180.5, -190}, {181, 179.5, 170}}) {
      Curve placed =
          ResponseFigures.placedPhase(Curve.of(Unit.HERTZ, hz, Unit.DEGREE, found.clone()));
      assertThat(placed.ys()).containsExactly(181, 179.5, 170);
    }
    double[] plain = {60, 0, -260};
    assertThat(ResponseFigures.placedPhase(Curve.of(Unit.HERTZ, hz, Unit.DEGREE, plain)).ys())
        .containsExactly(60, 0, -260);
  }

  @Test
  void the_grid_is_even_on_a_logarithmic_axis_and_holds_both_ends() {
    double[] hz = ResponseFigures.logSpaced(20, 20480, 3);
    assertThat(hz).hasSize(31);
    assertThat(hz[0]).isEqualTo(20);
    assertThat(hz[30]).isEqualTo(20480);
    assertThat(hz[3]).isCloseTo(40, within(1e-9));
    assertThat(ResponseFigures.logSpaced(20, 20000, 12)).hasSize(121);
    assertThatIllegalArgumentException().isThrownBy(() -> ResponseFigures.logSpaced(0, 20000, 12));
  }

  /** Source of the values: preferred_third_octave_nominal.csv, ISO 266:1997 table 1. */
  @Test
  void third_octaves_are_the_nominal_ones_of_iso_266() {
    double[] expected =
        Reference.rows("preferred_third_octave_nominal.csv").stream()
            .mapToDouble(row -> Double.parseDouble(row.get("nominal_Hz")))
            .toArray();
    assertThat(expected).hasSize(51);
    assertThat(ResponseFigures.thirdOctaves(1, 100000)).containsExactly(expected);
    assertThat(ResponseFigures.thirdOctaves(20, 20000)).hasSize(31).contains(31.5, 1000, 12500);
    assertThat(ResponseFigures.thirdOctaves(0.3, 0.5)).containsExactly(0.315, 0.4, 0.5);
  }
}
